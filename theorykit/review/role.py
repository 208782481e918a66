"""What each note of a take does over its chord, and how it is treated there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from theorykit.analysis import style as styles
from theorykit.analysis.classification import classify
from theorykit.analysis.fit import NoteFit
from theorykit.analysis.resolution import resolve
from theorykit.analysis.style import CARE_AT, SWITCH_AT, Style
from theorykit.analysis.tonality import TuneMode
from theorykit.practice.line_chart import LineChart, Slot
from theorykit.review.finding import Finding
from theorykit.review.grid import Grid
from theorykit.review.take import Take, TakeNote, slot_at
from theorykit.score.arrange import spelled
from theorykit.theory.degree import Degree
from theorykit.theory.key import Key
from theorykit.theory.meter import read_meter
from theorykit.theory.pitch import Note

#: In quarters: longer than this a note that rubs is held, and a passing note no longer passes. An
#: eighth and a quarter (common practice), each with something to spare for loose playing.
LONGEST_RUB, LONGEST_PASS = Fraction(5, 8), Fraction(9, 8)
#: In quarters: a note that begins this little before a change and lasts over it belongs to the
#: chord that comes (an anticipation, any handbook; from memory).
_PUSH = Fraction(1, 2)
#: A note that rubs and goes on by step to a chord tone weighs this share (stipulated).
RESOLVED_SHARE = 0.4
#: A melody moves by step up to here, in half steps.
_STEP = 2


@dataclass(frozen=True, slots=True)
class JudgedNote:
    """A note of a take with its role.

    Parameters
    ----------
    note : TakeNote
    slot : Slot
        The chord that it is heard over.
    bar : int
        Counted from 1 through all choruses; 0 for a pick-up.
    beat : Fraction
        Counted from 1.
    name : Note
    degree : Degree
        Above the chord's root.
    role : str
        ``root``, ``chord tone``, ``colour``, ``passing``, ``blue``, ``avoid``, or ``outside the
        form`` before its first bar and after its last.
    severity : float
        How the style takes a note of that kind, 0 to 1.
    strong : bool
        True on a strong beat and where a chord begins.
    held : bool
        True where it is longer than a note of its kind may be.
    resolved : bool
        True where the next note is a chord tone a step away.
    anticipates : bool
        True where it is tied to the chord that comes next.
    """

    note: TakeNote
    slot: Slot
    bar: int
    beat: Fraction
    name: Note
    degree: Degree
    role: str
    severity: float
    strong: bool
    held: bool
    resolved: bool
    anticipates: bool

    @property
    def in_chord(self) -> bool:
        """True for root and chord tones."""
        return self.role in ("root", "chord tone")

    @property
    def in_form(self) -> bool:
        """False for a pick-up and after the end."""
        return self.role != "outside the form"

    def record(self) -> dict[str, object]:
        """A plain row."""
        return {
            "bar": self.bar,
            "beat": round(float(self.beat), 3),
            "name": str(self.name),
            "chord": str(self.slot.chord),
            "degree": str(self.degree),
            "role": self.role,
            "severity": self.severity,
            "strong": self.strong,
            "held": self.held,
        }


def judged(take: Take, chart: LineChart, style: Style) -> tuple[JudgedNote, ...]:
    """Every note of a take with its role over the chart, all its choruses played out."""
    grid = Grid.of(read_meter(chart.meter))
    return tuple(_judged(index, take.notes, chart, style, grid) for index in range(len(take.notes)))


def _judged(
    index: int, notes: Sequence[TakeNote], chart: LineChart, style: Style, grid: Grid
) -> JudgedNote:
    note = notes[index]
    bar_beats = chart.bars[0].beats
    end = chart.slots[-1].end
    quarter = 1 / grid.meter.beat_quarters
    slot = slot_at(chart.slots, note.start)
    coming = slot_at(chart.slots, note.start + _PUSH * quarter)
    anticipates = (
        coming is not slot
        and note.end > coming.start
        and _kind(note.midi, coming, chart) is styles.CHORD_TONE
    )
    if anticipates:
        slot = coming
    kind = _kind(note.midi, slot, chart)
    key = next(key for at, key in reversed(chart.keys) if at <= slot.start)
    name = _name(note, slot, key, chart.mode)
    degree = Degree.between(slot.chord.root, name)
    inside = 0 <= note.start < end
    role = kind.role
    if kind is styles.CHORD_TONE and name.pitch_class == slot.chord.root.pitch_class:
        role = "root"
    severity = style.severity(kind)
    watched = kind.role == "avoid" or severity >= CARE_AT
    quarters = note.beats / quarter
    in_bar = note.start % bar_beats
    following = notes[index + 1] if index + 1 < len(notes) else None
    # A rest between the two leaves the rub in the ear.
    resolved = (
        following is not None
        and 0 < abs(following.midi - note.midi) <= _STEP
        and following.start - note.end <= quarter / 2
        and _kind(following.midi, slot_at(chart.slots, following.start), chart) is styles.CHORD_TONE
    )
    return JudgedNote(
        note,
        slot,
        int(note.start // bar_beats) + 1 if note.start >= 0 else 0,
        in_bar + 1,
        name,
        degree,
        role if inside else "outside the form",
        severity if inside else 0.0,
        in_bar in grid.strong or note.start == slot.start,
        quarters > (LONGEST_RUB if watched else LONGEST_PASS),
        resolved,
        anticipates,
    )


def _kind(midi: int, slot: Slot, chart: LineChart) -> styles.NoteClass:
    return classify(midi - slot.tonic.pitch_class, slot.numeral, chart.mode)[0]


def _name(note: TakeNote, slot: Slot, key: Key, mode: TuneMode) -> Note:
    """How a note is called over its chord: as the chord, the scale or the key has it."""
    step = note.midi - slot.tonic.pitch_class
    kind, member = classify(step, slot.numeral, mode)
    if kind.role == "avoid" and kind.rubs_against < 0 and member is not None:
        # What rubs from above is a lowered neighbour: it has the letter above.
        above = member.at(slot.chord.root).shifted(1, 1)
        if abs(above.alter) <= 1:
            return above
    tone = slot.plain[step % 12]
    if tone is not None:
        named = tone.degree.at(slot.tonic)
        if abs(named.alter) <= 1:
            return named
    return spelled(note.midi, slot.chord, key).note


def rub_findings(notes: Sequence[JudgedNote], chart: LineChart) -> tuple[Finding, ...]:
    """Notes that rub where it is heard, and passing notes that do not pass.

    A note that rubs is one that the style leaves out or passes with care; it is heard on a strong
    beat, or held, or, if the style leaves it out, wherever it does not go on by step.
    """
    found = []
    for judged_note in notes:
        finding = _rub(judged_note, chart)
        if finding is not None:
            found.append(finding)
    return tuple(found)


def _rub(judged_note: JudgedNote, chart: LineChart) -> Finding | None:
    if judged_note.in_chord or not judged_note.in_form or judged_note.slot.silent:
        return None
    severity = judged_note.severity
    heard = judged_note.strong or judged_note.held
    rubs = judged_note.role == "avoid" or severity >= CARE_AT
    if rubs and (heard or (severity >= SWITCH_AT and not judged_note.resolved)):
        kind = "avoid"
    elif judged_note.role == "passing" and judged_note.held and not judged_note.resolved:
        kind = "hanging"
    else:
        return None
    semitones = judged_note.note.midi - judged_note.slot.tonic.pitch_class
    numeral, tonic = judged_note.slot.numeral, judged_note.slot.tonic
    note_class, member = classify(semitones, numeral, chart.mode)
    degree = Degree.between(tonic, judged_note.name)
    ways = resolve(NoteFit(degree, None, note_class, severity, member), numeral)
    chord = judged_note.slot.chord.pretty
    name = judged_note.name.pretty
    words = f"{name} {_where(judged_note)} over {chord}"
    if member is not None:
        side = "above" if note_class.rubs_against < 0 else "below"
        rubbed = member.at(judged_note.slot.chord.root).pretty
        words += f", a half step {side} {rubbed}, the {member.ordinal}"
    weight = max(severity, CARE_AT) if kind == "avoid" else 0.3
    softened = judged_note.resolved and not judged_note.held
    if softened:
        weight *= RESOLVED_SHARE
        words += "; it does go on to a chord tone, which softens it"
    suggestion = f"Play a note of {chord} there."
    if ways:
        goal = ways[0].to.at(tonic).simplified().pretty
        other = (
            f"move {name} off the beat" if softened else f"keep {name} short and go on to {goal}"
        )
        suggestion = f"Play {goal} in its place, or {other}."
    return Finding(
        kind, judged_note.bar, judged_note.beat, f"{words}.", suggestion, round(weight, 3)
    )


def _where(judged_note: JudgedNote) -> str:
    if judged_note.held:
        return "is held"
    if judged_note.strong:
        return "falls on a strong beat"
    return "is left hanging"
