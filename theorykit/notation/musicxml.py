"""MusicXML 4.0 of a part: notes, tablature, chord symbols and diagrams, degrees.

Built as text, since the order of elements is fixed and a tree would only slow it down. Pitches are
those that sound; clefs say the octave that players read them in.
"""

from __future__ import annotations

import io
import math
import re
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from xml.sax.saxutils import escape

from theorykit.errors import BadInput
from theorykit.files import whole_file
from theorykit.instruments.fingering import finger_line
from theorykit.instruments.instrument import Instrument
from theorykit.instruments.shape import Shape
from theorykit.notation.clef import clef_of
from theorykit.notation.measures import Measure, Sign, measures
from theorykit.notation.musicxml_harmony import Frames, frames_for, harmony
from theorykit.notation.musicxml_note import NoteWriter, joins_of
from theorykit.score.feel import FEELS
from theorykit.score.midi import PROGRAMS
from theorykit.score.score import Part, Score, ScoreNote
from theorykit.score.signature import Signature
from theorykit.theory.chord import Chord
from theorykit.theory.meter import Meter
from theorykit.theory.pitch import Pitch

_HEAD = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">\n'
)

# What XML 1.0 has no way to say.
_NO_TEXT = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")

# A date that is always the same, so that one score makes one file.
_ZIP_DATE = (1980, 1, 1, 0, 0, 0)

# Programs take the first four voices to be the upper staff's.
_STAFF_VOICES = 4

_BEAT_UNITS = {
    Fraction(1, 4): "<beat-unit>16th</beat-unit>",
    Fraction(3, 8): "<beat-unit>16th</beat-unit><beat-unit-dot/>",
    Fraction(1, 2): "<beat-unit>eighth</beat-unit>",
    Fraction(3, 4): "<beat-unit>eighth</beat-unit><beat-unit-dot/>",
    Fraction(1): "<beat-unit>quarter</beat-unit>",
    Fraction(3, 2): "<beat-unit>quarter</beat-unit><beat-unit-dot/>",
    Fraction(2): "<beat-unit>half</beat-unit>",
    Fraction(3): "<beat-unit>half</beat-unit><beat-unit-dot/>",
    Fraction(4): "<beat-unit>whole</beat-unit>",
}


def musicxml_text(
    score: Score,
    *,
    part: str = "line",
    instrument: Instrument | None = None,
    capo: int = 0,
    tablature: bool = True,
    frames: Mapping[Chord, Shape] | None = None,
    lyrics: bool = True,
    title: str = "",
) -> str:
    """A part of a score as MusicXML 4.0.

    Parameters
    ----------
    score : Score
    part : str
    instrument : Instrument, optional
        For the clef, the tablature and the diagrams.
    capo : int
    tablature : bool
        False for the notes alone. Where any note has no place on the neck, the whole line is
        fingered.
    frames : dict, optional
        A shape for each chord whose diagram is wanted; the easiest of each chord if not given.
    lyrics : bool
        Degrees below the notes.
    title : str
        The score's own if empty.

    Raises
    ------
    BadInput
        If there is no such part, or it can't be written or played so.

    Examples
    --------
    >>> text = musicxml_text(Score((Part("line", (ScoreNote(Fraction(0), Fraction(4), 69),), ""),)))
    >>> "<step>A</step><octave>4</octave>" in text
    True
    """
    chosen = score.part(part)
    if instrument is not None and tablature:
        chosen = _placed(chosen, instrument, capo)
    bars = measures(score, chosen)
    divisions = math.lcm(
        1,
        *(bar.quarters.denominator for bar in bars),
        *(at.denominator for bar in bars for at, _ in bar.chords),
        *(sign.quarters.denominator for bar in bars for voice in bar.voices for sign in voice),
    )
    writer = _Writer(
        score,
        instrument if tablature else None,
        capo,
        divisions,
        frames_for(instrument, capo, frames),
        NoteWriter(divisions, joins_of(bars), lyrics=lyrics),
        _staff(instrument, capo, chosen.notes, tablature=tablature),
    )
    name = escape(_plain(instrument.name if instrument is not None else chosen.voice or part))
    voice = instrument.voice if instrument is not None else chosen.voice
    work = escape(_plain(title or score.title))
    head = f"<work><work-title>{work}</work-title></work>" if work else ""
    head += "<identification><encoding><software>theorykit</software></encoding></identification>"
    body = "\n".join(writer.measures(bars))
    return (
        f'{_HEAD}<score-partwise version="4.0">{head}<part-list><score-part id="P1">'
        f"<part-name>{name}</part-name>{_sound(name, voice)}</score-part></part-list>\n"
        f'<part id="P1">\n{body}\n</part></score-partwise>\n'
    )


def write_musicxml(
    score: Score,
    path: str | Path,
    *,
    part: str = "line",
    instrument: Instrument | None = None,
    capo: int = 0,
    tablature: bool = True,
    frames: Mapping[Chord, Shape] | None = None,
    lyrics: bool = True,
    title: str = "",
) -> None:
    """Write a part as a MusicXML file, whole or not at all; a name in ``.mxl`` is compressed.

    The options are those of `musicxml_text`.

    Raises
    ------
    BadInput
        As `musicxml_text`, or if the file can't be written.
    """
    text = musicxml_text(
        score,
        part=part,
        instrument=instrument,
        capo=capo,
        tablature=tablature,
        frames=frames,
        lyrics=lyrics,
        title=title,
    )
    target = Path(path)
    data = text.encode("utf-8")
    with whole_file(target) as file:
        file.write(_zipped(data) if target.suffix.lower() == ".mxl" else data)


def _zipped(data: bytes) -> bytes:
    container = (
        '<?xml version="1.0" encoding="UTF-8"?>\n<container><rootfiles>'
        '<rootfile full-path="score.musicxml" '
        'media-type="application/vnd.recordare.musicxml+xml"/></rootfiles></container>\n'
    )
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        for name, content, method in (
            ("mimetype", b"application/vnd.recordare.musicxml", zipfile.ZIP_STORED),
            ("META-INF/container.xml", container.encode(), zipfile.ZIP_DEFLATED),
            ("score.musicxml", data, zipfile.ZIP_DEFLATED),
        ):
            archive.writestr(zipfile.ZipInfo(name, _ZIP_DATE), content, method)
    return packed.getvalue()


def _plain(text: str) -> str:
    return _NO_TEXT.sub("", text)


def _placed(part: Part, instrument: Instrument, capo: int) -> Part:
    """The part with a place for every note: those that it has, or else the easiest of all."""
    if all(note.string is not None and note.fret is not None for note in part.notes):
        return part
    starts = [note.start for note in part.notes]
    if len(set(starts)) < len(starts):
        reason = "has chords with no strings and frets"
        raise BadInput("part", part.name, reason, accepted="tablature=False")
    pitches = [note.pitch or Pitch.parse("C-1").shifted(0, round(note.midi)) for note in part.notes]
    line = finger_line(
        instrument, pitches, capo=capo, beats=[float(note.beats) for note in part.notes]
    )
    notes = tuple(
        replace(note, string=place.string, fret=place.fret, finger=place.finger)
        for note, place in zip(part.notes, line.notes, strict=True)
    )
    return replace(part, notes=notes)


def _sound(name: str, voice: str) -> str:
    if voice not in PROGRAMS:
        return ""
    return (
        f'<score-instrument id="P1-I1"><instrument-name>{name}</instrument-name>'
        '</score-instrument><midi-instrument id="P1-I1">'
        f"<midi-program>{PROGRAMS[voice] + 1}</midi-program></midi-instrument>"
    )


def _staff(
    instrument: Instrument | None, capo: int, notes: Sequence[ScoreNote], *, tablature: bool
) -> str:
    """What the attributes of the first bar say of clefs and strings."""
    sign, line, octave = clef_of(instrument, [note.midi for note in notes])
    octaves = f"<clef-octave-change>{octave}</clef-octave-change>" if octave else ""
    first = f"<sign>{sign}</sign><line>{line}</line>{octaves}"
    if instrument is None or not tablature:
        return f"<clef>{first}</clef>"
    strings = len(instrument.strings)
    # Line 1 is the lowest, on which the last string is drawn.
    tunings = "".join(
        f'<staff-tuning line="{line}"><tuning-step>{string.open.note.letter}</tuning-step>'
        + (
            f"<tuning-alter>{string.open.note.alter}</tuning-alter>"
            if string.open.note.alter
            else ""
        )
        + f"<tuning-octave>{string.open.octave}</tuning-octave></staff-tuning>"
        for line, string in enumerate(reversed(instrument.strings), start=1)
    )
    held = f"<capo>{capo}</capo>" if capo else ""
    return (
        f'<staves>2</staves><clef number="1">{first}</clef>'
        f'<clef number="2"><sign>TAB</sign><line>{(strings + 1) // 2}</line></clef>'
        f'<staff-details number="2"><staff-lines>{strings}</staff-lines>{tunings}{held}'
        "</staff-details>"
    )


@dataclass(frozen=True, slots=True)
class _Writer:
    """The bars of one part, as text."""

    score: Score
    neck: Instrument | None
    capo: int
    divisions: int
    frames: Frames
    notes: NoteWriter
    staff: str

    def measures(self, bars: Sequence[Measure]) -> list[str]:
        found: list[str] = []
        number, odd = 0, 0
        signature = None
        for index, bar in enumerate(bars):
            signature = bar.signature or signature
            assert signature is not None  # the first bar has one
            if bar.start < 0:
                label = 'number="0" implicit="yes"'
            elif not bar.full:
                odd += 1
                label = f'number="X{odd}" implicit="yes"'
            else:
                number += 1
                label = f'number="{number}"'
            end = ""
            if index == len(bars) - 1:
                style = "<bar-style>light-heavy</bar-style>"
                end = f'<barline location="right">{style}</barline>'
            body = self.attributes(bar, first=index == 0)
            body += self.tempo() if index == 0 else ""
            if bar.section:
                text = escape(_plain(bar.section))
                body += (
                    '<direction placement="above"><direction-type>'
                    f"<rehearsal>{text}</rehearsal></direction-type></direction>"
                )
            found.append(f"<measure {label}>{body}{self.staves(bar, signature)}{end}</measure>")
        return found

    def attributes(self, bar: Measure, *, first: bool) -> str:
        parts = [f"<divisions>{self.divisions}</divisions>"] if first else []
        if bar.signature is not None:
            parts.append(_key(bar.signature))
        if bar.meter is not None:
            parts.append(_time(bar.meter))
        if first:
            parts.append(self.staff)
        return f"<attributes>{''.join(parts)}</attributes>" if parts else ""

    def tempo(self) -> str:
        meter = self.score.signature
        unit = _BEAT_UNITS.get(meter.beat_quarters)
        parts = []
        quarters = self.score.tempo * float(meter.beat_quarters)
        sound = f'<sound tempo="{quarters:.10g}"/>'
        if unit is not None:
            parts.append(
                f'<direction placement="above"><direction-type><metronome>{unit}<per-minute>'
                f"{self.score.tempo:.10g}</per-minute></metronome></direction-type>{sound}</direction>"
            )
        feel = FEELS.get(self.score.feel)
        if feel is not None and feel.swing != 1:
            ratio = feel.swing
            parts.append(
                '<direction placement="above"><direction-type><words>Swing</words>'
                "</direction-type><sound><swing>"
                f"<first>{ratio.numerator}</first><second>{ratio.denominator}</second>"
                f"<swing-type>eighth</swing-type><swing-style>{escape(feel.name)}</swing-style>"
                "</swing></sound></direction>"
            )
        return "".join(parts)

    def staves(self, bar: Measure, signature: Signature) -> str:
        """All voices of the bar, the staff's and then the tablature's."""
        back = f"<backup><duration>{int(bar.quarters * self.divisions)}</duration></backup>"
        self.notes.begin(signature)
        voices = [
            self.voice(bar, signs, number) for number, signs in enumerate(bar.voices, start=1)
        ]
        if self.neck is not None:
            above = max(_STAFF_VOICES, len(bar.voices))
            for number, signs in enumerate(bar.voices, start=above + 1):
                voices.append("".join(self.notes.tab(sign, number) for sign in signs))
        return back.join(voices)

    def voice(self, bar: Measure, signs: Sequence[Sign], number: int) -> str:
        """A voice; the first one has the chord symbols that come in under its signs."""
        staff = 1 if self.neck is not None else None
        waiting = list(bar.chords) if number == 1 else []
        parts: list[str] = []
        for sign in signs:
            while waiting and waiting[0][0] < sign.offset + sign.quarters:
                at, placed = waiting.pop(0)
                shape = self.frames(placed.chord) if placed.chord is not None else None
                later = int((at - sign.offset) * self.divisions)
                parts.append(harmony(placed.chord, later, shape))
            parts.append(self.notes.sign(sign, number, staff=staff, places=staff is None))
        return "".join(parts)


def _key(signature: Signature) -> str:
    mode = signature.mode or signature.key.mode
    return f"<key><fifths>{signature.fifths}</fifths><mode>{mode}</mode></key>"


def _time(meter: Meter) -> str:
    upper, lower = meter.name.split("/")
    return f"<time><beats>{upper}</beats><beat-type>{lower}</beat-type></time>"
