"""Notes and rests as MusicXML has them, on a staff and in tablature."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from theorykit.notation.measures import Measure, Sign
from theorykit.score.score import ScoreNote
from theorykit.score.signature import Signature, spelled_in
from theorykit.theory.pitch import Pitch

#: Names of note values, by their length in quarters (MusicXML 4.0, note-type-value).
TYPES: dict[Fraction, str] = {
    Fraction(8): "breve",
    Fraction(4): "whole",
    Fraction(2): "half",
    Fraction(1): "quarter",
    Fraction(1, 2): "eighth",
    Fraction(1, 4): "16th",
    Fraction(1, 8): "32nd",
    Fraction(1, 16): "64th",
    Fraction(1, 32): "128th",
    Fraction(1, 64): "256th",
}

_ACCIDENTALS = {
    -2: "flat-flat",
    -1: "flat",
    0: "natural",
    1: "sharp",
    2: "double-sharp",
}

_SLURRED = ("hammer-on", "pull-off")

#: A join of two notes at one of them: ``"slide"``, ``"hammer-on"`` or ``"pull-off"``, and
#: ``"start"`` or ``"stop"``.
Join = tuple[str, str]


def joins_of(bars: Sequence[Measure]) -> dict[int, list[Join]]:
    """How notes hang together with those behind and before them, by the identity of the note."""
    found: dict[int, list[Join]] = {}
    before: dict[int, ScoreNote] = {}
    for bar in bars:
        for number, voice in enumerate(bar.voices):
            for sign in voice:
                if sign.tied_from or not sign.notes:
                    if not sign.notes:
                        before.pop(number, None)
                    continue
                note, last = sign.notes[-1], before.get(number)
                before[number] = note
                if last is None:
                    continue
                kinds = [note.articulation] if note.articulation in _SLURRED else []
                if _slides_on(last):
                    kinds.append("slide")  # type: ignore[arg-type]
                for kind in kinds:
                    found.setdefault(id(last), []).append((kind, "start"))
                    found.setdefault(id(note), []).append((kind, "stop"))
    return found


def _slides_on(note: ScoreNote) -> bool:
    glide = note.glide
    return glide is not None and glide.kind == "slide" and glide.points[-1][1] != 0


class NoteWriter:
    """Writes signs, with the accidentals that a bar's earlier notes leave to be said.

    Parameters
    ----------
    divisions : int
        To the quarter.
    joins : dict
        As `joins_of` gives them.
    lyrics : bool
        Degrees below the notes.
    """

    __slots__ = ("_divisions", "_fifths", "_joins", "_lyrics", "_signs", "_standing")

    def __init__(self, divisions: int, joins: dict[int, list[Join]], *, lyrics: bool) -> None:
        self._divisions = divisions
        self._joins = joins
        self._lyrics = lyrics
        self._fifths = 0
        self._signs: dict[str, int] = {}
        self._standing: dict[tuple[str, int], int] = {}

    def begin(self, signature: Signature) -> None:
        """Begin a bar: all accidentals are the signature's again."""
        self._fifths = signature.fifths
        self._signs = signature.alters
        self._standing = {}

    def sign(self, sign: Sign, voice: int, *, staff: int | None, places: bool) -> str:
        """A sign on the staff; ``places`` adds strings and frets, where no tablature has them."""
        duration = self._duration(sign)
        shape = _shape(sign)
        on_staff = f"<staff>{staff}</staff>" if staff is not None else ""
        if not sign.notes:
            tail = f"<voice>{voice}</voice>{shape}{on_staff}{_tuplet(sign)}"
            return f"<note><rest/>{duration}{tail}</note>"
        lines = "".join(
            f'<beam number="{number}">{what}</beam>'
            for number, what in enumerate(sign.beams, start=1)
        )
        parts: list[str] = []
        for index, note in enumerate(sign.notes):
            pitch = self._pitch(note)
            ghost = (
                '<notehead parentheses="yes">normal</notehead>'
                if note.articulation == "ghost"
                else ""
            )
            loud = f' dynamics="{100 * note.level:.6g}"' if note.level != 1 else ""
            parts.append(
                f"<note{loud}>{'<chord/>' if index else ''}{_pitch(pitch)}{duration}{_ties(sign)}"
                f"<voice>{voice}</voice>{_type(sign)}{self._accidental(pitch, sign)}"
                f"{_modification(sign)}{ghost}{on_staff}{'' if index else lines}"
                f"{self._notations(sign, note, first=index == 0, places=places)}"
                f"{self._lyric(sign, note, index)}</note>"
            )
        return "".join(parts)

    def tab(self, sign: Sign, voice: int) -> str:
        """The same sign in the tablature, which has no rhythm of its own to show."""
        duration = self._duration(sign)
        tail = f"<voice>{voice}</voice>{_shape(sign)}"
        if not sign.notes:
            return f'<note print-object="no"><rest/>{duration}{tail}<staff>2</staff></note>'
        parts: list[str] = []
        for index, note in enumerate(sign.notes):
            inner = f"<string>{note.string}</string><fret>{note.fret}</fret>"
            if not sign.tied_from:
                inner += _bends(note)
            inner += self._joined(sign, note)
            joins = self._slides(sign, note)
            parts.append(
                f"<note>{'<chord/>' if index else ''}{_pitch(self._pitch(note))}{duration}"
                f"{_ties(sign)}{tail}<stem>none</stem><staff>2</staff><notations>{_tied(sign)}"
                f"{joins}<technical>{inner}</technical></notations></note>"
            )
        return "".join(parts)

    def _duration(self, sign: Sign) -> str:
        return f"<duration>{int(sign.quarters * self._divisions)}</duration>"

    def _pitch(self, note: ScoreNote) -> Pitch:
        return note.pitch or spelled_in(round(note.midi), self._fifths)

    def _accidental(self, pitch: Pitch, sign: Sign) -> str:
        place, alter = (pitch.note.letter, pitch.octave), pitch.note.alter
        standing = self._standing.get(place, self._signs.get(pitch.note.letter, 0))
        if sign.tied_from or standing == alter:
            return ""
        self._standing[place] = alter
        name = _ACCIDENTALS.get(alter)
        return f"<accidental>{name}</accidental>" if name is not None else ""

    def _notations(self, sign: Sign, note: ScoreNote, *, first: bool, places: bool) -> str:
        inner = _tied(sign)
        if first:
            inner += _tuplet_ends(sign)
        begins = not sign.tied_from
        if note.vibrato is not None and begins:
            inner += '<ornaments><wavy-line type="start"/><wavy-line type="stop"/></ornaments>'
        technical = ""
        if note.finger is not None and begins:
            technical += f"<fingering>{note.finger}</fingering>"
        if places:
            inner += self._slides(sign, note)
            if note.string is not None and begins:
                technical += f"<string>{note.string}</string>"
            if note.fret is not None and begins:
                technical += f"<fret>{note.fret}</fret>"
            technical += _bends(note) if begins else ""
            technical += self._joined(sign, note)
        inner += self._slurs(sign, note)
        if technical:
            inner += f"<technical>{technical}</technical>"
        articulation = ""
        if begins and note.articulation in ("staccato", "tenuto", "accent"):
            articulation += f"<{note.articulation}/>"
        if begins and _slides_in(note):
            articulation += "<scoop/>"
        if articulation:
            inner += f"<articulations>{articulation}</articulations>"
        return f"<notations>{inner}</notations>" if inner else ""

    def _here(self, sign: Sign, note: ScoreNote) -> list[Join]:
        """The joins at this sign of a note: its last one starts, its first one stops."""
        return [
            (kind, end)
            for kind, end in self._joins.get(id(note), [])
            if not (sign.tied_to if end == "start" else sign.tied_from)
        ]

    def _slurs(self, sign: Sign, note: ScoreNote) -> str:
        # What ends here is closed before the next begins, so one number serves a whole run.
        here = [end for kind, end in self._here(sign, note) if kind in _SLURRED]
        return "".join(f'<slur type="{end}" number="1"/>' for end in sorted(here, reverse=True))

    def _slides(self, sign: Sign, note: ScoreNote) -> str:
        here = [end for kind, end in self._here(sign, note) if kind == "slide"]
        return "".join(
            f'<slide type="{end}" number="1" line-type="solid"/>'
            for end in sorted(here, reverse=True)
        )

    def _joined(self, sign: Sign, note: ScoreNote) -> str:
        found = ""
        for kind, end in sorted(self._here(sign, note), key=lambda join: join[1], reverse=True):
            if kind in _SLURRED:
                letter = ("H" if kind == "hammer-on" else "P") if end == "start" else ""
                found += f'<{kind} type="{end}" number="1">{letter}</{kind}>'
        return found

    def _lyric(self, sign: Sign, note: ScoreNote, index: int) -> str:
        if not self._lyrics or note.degree is None or sign.tied_from:
            return ""
        return (
            f'<lyric number="{index + 1}"><syllabic>single</syllabic>'
            f"<text>{note.degree.pretty}</text></lyric>"
        )


def _pitch(pitch: Pitch) -> str:
    alter = f"<alter>{pitch.note.alter}</alter>" if pitch.note.alter else ""
    return f"<pitch><step>{pitch.note.letter}</step>{alter}<octave>{pitch.octave}</octave></pitch>"


def _type(sign: Sign) -> str:
    return f"<type>{TYPES[sign.base]}</type>{'<dot/>' * sign.dots}"


def _modification(sign: Sign) -> str:
    if sign.tuplet is None:
        return ""
    return (
        f"<time-modification><actual-notes>{sign.tuplet.actual}</actual-notes>"
        f"<normal-notes>{sign.tuplet.normal}</normal-notes></time-modification>"
    )


def _shape(sign: Sign) -> str:
    return _type(sign) + _modification(sign)


def _ties(sign: Sign) -> str:
    return ('<tie type="stop"/>' if sign.tied_from else "") + (
        '<tie type="start"/>' if sign.tied_to else ""
    )


def _tied(sign: Sign) -> str:
    return ('<tied type="stop"/>' if sign.tied_from else "") + (
        '<tied type="start"/>' if sign.tied_to else ""
    )


def _tuplet_ends(sign: Sign) -> str:
    return ('<tuplet type="start" number="1" bracket="yes"/>' if sign.opens else "") + (
        '<tuplet type="stop" number="1"/>' if sign.closes else ""
    )


def _tuplet(sign: Sign) -> str:
    ends = _tuplet_ends(sign)
    return f"<notations>{ends}</notations>" if ends else ""


def _slides_in(note: ScoreNote) -> bool:
    glide = note.glide
    return glide is not None and glide.kind == "slide" and glide.points[0][1] != 0


def _bends(note: ScoreNote) -> str:
    """The bends of a string, one after another, with their places in hundredths of the note."""
    glide = note.glide
    if glide is None or glide.kind != "bend":
        return ""
    parts: list[str] = []
    (at, height), *others = glide.points
    if height:
        parts.append(f"<bend><bend-alter>{height:.10g}</bend-alter><pre-bend/></bend>")
    for after, there in others:
        places = f'first-beat="{_hundredths(at, note)}" last-beat="{_hundredths(after, note)}"'
        release = "<release/>" if there < height else ""
        parts.append(
            f"<bend {places}><bend-alter>{there - height:.10g}</bend-alter>{release}</bend>"
        )
        at, height = after, there
    return "".join(parts)


def _hundredths(at: Fraction, note: ScoreNote) -> str:
    return f"{min(100.0, float(100 * at / note.beats)):.8g}"
