"""Reading MusicXML: a part's notes with their places on the neck, chords, meter, key, repeats."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from xml.etree.ElementTree import Element

from theorykit.errors import BadInput, TuneError
from theorykit.notation.musicxml_elements import (
    chord_of,
    meter_of,
    number,
    pitch_of,
    signature_of,
    text_of,
    transposition_of,
    whole,
)
from theorykit.notation.musicxml_file import musicxml_tree
from theorykit.notation.musicxml_marks import read_marks
from theorykit.notation.musicxml_note import TYPES
from theorykit.notation.tune import MOST_BARS, MOST_NOTES, Tune, TuneBar, TuneNote, tune_score
from theorykit.score.feel import FEELS
from theorykit.score.midi import PROGRAMS
from theorykit.score.score import Score
from theorykit.score.signature import Signature
from theorykit.theory.meter import read_meter

_QUARTERS = {name: quarters for quarters, name in TYPES.items()}
_VOICES = {program + 1: voice for voice, program in reversed(PROGRAMS.items())}


def read_musicxml(data: str | bytes, *, part: int = 1, repeats: bool = True) -> Score:
    """A part of a MusicXML file as a score with the one part ``line``.

    Grace and cue notes are left out. A part with a staff and a tablature is read as one: the
    notes of the staff, with the strings and frets of the tablature.

    Parameters
    ----------
    data : str or bytes
        The document, or a compressed one (``.mxl``).
    part : int
        Which of the file's parts, counted from 1.
    repeats : bool
        True to play repeats and jumps out; False for each bar once, as it stands.

    Raises
    ------
    TuneError
        If it is not MusicXML, or can't be read as a tune.

    Examples
    --------
    >>> from theorykit.notation.musicxml import musicxml_text
    >>> from theorykit.score.score import Part, ScoreNote
    >>> tune = Score((Part("line", (ScoreNote(Fraction(0), Fraction(4), 69),), "guitar"),))
    >>> [str(note.pitch) for note in read_musicxml(musicxml_text(tune)).part("line").notes]
    ['A4']
    """
    root = musicxml_tree(data)
    measures = _measures(root, part)
    if len(measures) > MOST_BARS:
        raise TuneError(f"more than {MOST_BARS} bars")
    tune = Tune(title=_title(root), voice=_voice(root, part))
    reader = _PartReader(tune)
    for index, measure in enumerate(measures, start=1):
        try:
            reader.read(measure)
        except BadInput as error:
            raise TuneError(str(error), bar=index) from None
        except TuneError as error:
            raise TuneError(error.reason, bar=index) from None
    reader.finish()
    return tune_score(tune, repeats=repeats)


def _measures(root: Element, part: int) -> list[Element]:
    if root.tag == "score-partwise":
        parts = root.findall("part")
        if not 1 <= part <= len(parts):
            raise TuneError(f"has {len(parts)} parts, so no part {part}")
        return parts[part - 1].findall("measure")
    if root.tag == "score-timewise":
        rows = [measure.findall("part") for measure in root.findall("measure")]
        if not rows or any(len(row) < part for row in rows) or part < 1:
            raise TuneError(f"has no part {part}")
        return [row[part - 1] for row in rows]
    raise TuneError("is not MusicXML")


def _title(root: Element) -> str:
    for path in ("work/work-title", "movement-title"):
        title = " ".join(text_of(root, path).split())
        if title:
            return title
    return ""


def _voice(root: Element, part: int) -> str:
    parts = root.findall("part-list/score-part")
    if part <= len(parts):
        program = text_of(parts[part - 1], "midi-instrument/midi-program")
        if program.isascii() and program.isdigit() and len(program) < 4:
            return _VOICES.get(int(program), "guitar")
    return "guitar"


class _PartReader:
    """The bars of a part, read one after another into a tune."""

    def __init__(self, tune: Tune) -> None:
        self.tune = tune
        self.divisions = Fraction(1)
        self.meter = "4/4"
        self.signature: Signature | None = None
        self.moved = (0, 0)
        self.tab_staves: set[str] = set()
        self.other_staves: set[str] = set()
        self.tempo_told = False
        self.sliding: dict[tuple[str, str], TuneNote] = {}
        self.tabs: list[tuple[TuneBar, list[TuneNote]]] = []
        self.count = 0

    def read(self, measure: Element) -> None:
        bar = TuneBar(self.meter, self.signature)
        at, furthest, last = Fraction(0), Fraction(0), Fraction(0)
        tab: list[TuneNote] = []
        for element in measure:
            tag = element.tag
            if tag == "attributes":
                self.attributes(element)
                bar.meter, bar.signature = self.meter, self.signature
            elif tag == "note":
                length = self.length(element)
                if length is None:
                    continue
                chord = element.find("chord") is not None
                start = last if chord else at
                if not chord:
                    last, at = at, at + length
                self.note(element, bar, tab, start, length)
            elif tag in ("backup", "forward"):
                step = number(text_of(element, "duration")) / self.divisions
                at = max(Fraction(0), at - step) if tag == "backup" else at + step
            elif tag == "harmony":
                chord_here = chord_of(element, self.moved)
                if chord_here != "unknown":
                    later = text_of(element, "offset")
                    place = at + (number(later) / self.divisions if later else 0)
                    bar.chords.append((max(Fraction(0), place), chord_here))
            elif tag in ("direction", "sound", "barline"):
                self.marks(element, bar)
            furthest = max(furthest, at)
        full = read_meter(bar.meter)
        bar.quarters = furthest or full.beats * full.beat_quarters
        self.tune.bars.append(bar)
        self.tabs.append((bar, tab))

    def attributes(self, element: Element) -> None:
        divisions = text_of(element, "divisions")
        if divisions:
            self.divisions = number(divisions)
            if self.divisions <= 0:
                raise TuneError("its divisions are not above 0")
        transpose = element.find("transpose")
        if transpose is not None:
            self.moved = transposition_of(transpose)
        for key in element.findall("key")[:1]:
            self.signature = signature_of(key, self.moved) or self.signature
        for time in element.findall("time")[:1]:
            self.meter = meter_of(time) or self.meter
        for clef in element.findall("clef"):
            staff = clef.get("number") or "1"
            if text_of(clef, "sign") == "TAB":
                self.tab_staves.add(staff)
            else:
                self.other_staves.add(staff)

    def length(self, element: Element) -> Fraction | None:
        """How many quarters a note or rest lasts; None for one that takes no time of the bar."""
        if element.find("grace") is not None or element.find("cue") is not None:
            return None
        duration = text_of(element, "duration")
        if not duration:
            raise TuneError("a note with no duration")
        length = number(duration) / self.divisions
        if length < 0:
            raise TuneError("a note with a duration below 0")
        written = _QUARTERS.get(text_of(element, "type"))
        ratio = element.find("time-modification")
        if written is not None and ratio is not None:
            # Where the divisions do not go into a tuplet, files round.
            dots = len(element.findall("dot"))
            exact = written * (2 - Fraction(1, 2 ** min(dots, 4)))
            exact *= whole(text_of(ratio, "normal-notes"), 1)
            exact /= whole(text_of(ratio, "actual-notes"), 1)
            if abs(exact - length) * self.divisions <= 1:
                return exact
        return length

    def note(
        self,
        element: Element,
        bar: TuneBar,
        tab: list[TuneNote],
        start: Fraction,
        length: Fraction,
    ) -> None:
        pitch = pitch_of(element, self.moved)
        if pitch is None or length == 0:
            return
        self.count += 1
        if self.count > MOST_NOTES:
            raise TuneError(f"more than {MOST_NOTES} notes")
        staff = text_of(element, "staff") or "1"
        note = TuneNote(start, length, pitch, staff)
        on_tab = staff in self.tab_staves
        (tab if on_tab else bar.notes).append(note)
        sliding = read_marks(element, note)
        for slot, end in sliding:
            key = (staff, slot)
            begun = self.sliding.pop(key, None)
            if end == "stop" and begun is not None:
                begun.slide = float(note.pitch.midi - begun.pitch.midi)
            elif end == "start":
                self.sliding[key] = note

    def marks(self, element: Element, bar: TuneBar) -> None:
        """Repeats, endings, jumps, tempo, feel and sections."""
        if element.tag == "barline":
            right = element.get("location", "right") == "right"
            if text_of(element, "bar-style") in ("light-light", "light-heavy") and right:
                bar.double = True
            repeat = element.find("repeat")
            if repeat is not None and repeat.get("direction") == "forward":
                bar.repeat_start = True
            elif repeat is not None:
                bar.repeat_end = min(max(whole(repeat.get("times") or "", 2), 2), 9)
            ending = element.find("ending")
            if ending is not None and ending.get("type") == "start":
                digits = [sign for sign in ending.get("number") or "" if sign in "123456789"]
                bar.ending = "".join(sorted(set(digits)))
        rehearsal = " ".join(text_of(element, "direction-type/rehearsal").split())
        if rehearsal:
            bar.section = rehearsal[:40]
        for sound in [element] if element.tag == "sound" else element.findall("sound"):
            self.sound(sound, bar)

    def sound(self, sound: Element, bar: TuneBar) -> None:
        tempo = sound.get("tempo")
        if tempo and not self.tempo_told:
            self.tune.quarters_a_minute = float(number(tempo)) or self.tune.quarters_a_minute
            self.tempo_told = True
        style = text_of(sound, "swing/swing-style")
        if style in FEELS:
            self.tune.feel = style
        for name, kind in (
            ("segno", "segno"),
            ("coda", "coda"),
            ("tocoda", "to coda"),
            ("fine", "fine"),
            ("dacapo", "da capo"),
            ("dalsegno", "dal segno"),
        ):
            if sound.get(name) not in {None, "no"}:
                bar.jumps.append((kind, ""))

    def finish(self) -> None:
        """Give the staff's notes what the tablature says of them, and jumps what they lead to."""
        for bar, tab in self.tabs:
            if not bar.notes:
                bar.notes = tab
                continue
            places = {(note.offset, note.pitch.midi): note for note in tab}
            for note in bar.notes:
                there = places.get((note.offset, note.pitch.midi))
                if there is not None:
                    note.string, note.fret = there.string, there.fret
                    note.bends, note.bent_before = there.bends, there.bent_before
                    note.slide = note.slide if note.slide is not None else there.slide
                    note.articulation = note.articulation or there.articulation
        jumps = [kind for bar in self.tune.bars for kind, _ in bar.jumps]
        aim = "coda" if "to coda" in jumps else "fine" if "fine" in jumps else ""
        for bar in self.tune.bars:
            bar.jumps = [
                (kind, aim if kind in ("da capo", "dal segno") else "") for kind, _ in bar.jumps
            ]
        for before, bar in pairwise(self.tune.bars):
            # A double bar may be written at the left of the bar behind it.
            before.double = before.double or bar.repeat_start
