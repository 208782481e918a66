"""A sequence over a progression: it runs on through the scale that the plan has for each chord."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.analysis.plan import Plan, PlanEntry, plan_progression
from theorykit.analysis.style import Style, find_style
from theorykit.analysis.tonality import TuneMode, tune_mode
from theorykit.errors import BadInput
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.instrument import Instrument
from theorykit.practice.rhythm import Rhythm, find_rhythm
from theorykit.practice.sequence import as_pitch
from theorykit.practice.sequence_fingers import fingered_line, position_of
from theorykit.practice.sequence_ladder import Ladder, Rung, usual_compasses
from theorykit.practice.sequence_pattern import SequencePattern, find_pattern
from theorykit.score.arrange import arrange
from theorykit.score.score import Part, Score, ScoreNote
from theorykit.theory.degree import Degree
from theorykit.theory.form import find_progression
from theorykit.theory.key import Key
from theorykit.theory.meter import find_meter
from theorykit.theory.pitch import Note, Pitch
from theorykit.theory.progression import Progression
from theorykit.theory.scale import Scale, ScaleFormula, find_scale, printed_degree

#: What is held unless the player says otherwise: the tune's own scale.
HELD: dict[TuneMode, str] = {
    "major": "major",
    "minor": "natural minor",
    "Mixolydian": "Mixolydian",
    "Dorian": "Dorian",
}


def sequence_over(
    progression: Progression | str,
    key: Key | str,
    pattern: SequencePattern | str | Sequence[int] = "threes",
    *,
    scale: ScaleFormula | str | None = None,
    style: Style | str = "bluegrass",
    rhythm: Rhythm | str | Sequence[Fraction | float] = "eighths",
    start: str = "up",
    on_chords: bool = False,
    instrument: Instrument | str | None = None,
    lowest: Pitch | str | None = None,
    highest: Pitch | str | None = None,
    position: int | None = None,
    closed: bool = False,
    choruses: int = 1,
    tempo: float = 80.0,
    ending: bool = True,
) -> Score:
    """A pattern that runs through a form, up and down, in the scale of each chord.

    Where the scale changes, the figure breaks off and the next one begins on the nearest note of
    the new scale; of two as near, on the chord tone, or else on the one farther along the way. A
    note that the plan leaves out is left out of figures that count the scale's notes.

    Parameters
    ----------
    progression : Progression or str
        Repeats and jumps are played out.
    key : Key or str
    pattern, rhythm, tempo
        As for `sequence`.
    scale : ScaleFormula or str, optional
        What the player holds on the tonic; the tune's own scale if not given. ``"chord tones"``
        changes with every chord.
    style : Style or str
        Whose advice the plan takes.
    start : {"up", "down"}
        Which way it sets out.
    on_chords : bool
        True to begin a new figure with every change of chord, on the nearest chord tone.
    instrument, lowest, highest, closed
        As for `sequence`.
    position : int, optional
        The fret of the index finger: the compass is what lies under that hand.
    choruses : int
    ending : bool
        One bar more for the last note, the tonic.

    Returns
    -------
    Score
        With one part, ``"line"``. Notes have their role over the chord, and their degree above its
        root. ``arrange(..., line=score.part("line").notes)`` puts a band under it.

    Raises
    ------
    BadInput

    Examples
    --------
    >>> score = sequence_over("| I | V |", "G", "scale", scale="chord tones", rhythm="quarters")
    >>> [(str(note.pitch), note.role) for note in score.part("line").notes[3:5]]
    [('G4', 'root'), ('F#4', 'chord tone')]
    """
    chart = progression if isinstance(progression, Progression) else find_progression(progression)
    home = key if isinstance(key, Key) else Key.parse(key)
    figure, beat = find_pattern(pattern), find_rhythm(rhythm)
    neck = find_instrument(instrument) if isinstance(instrument, str) else instrument
    if start not in ("up", "down"):
        raise BadInput("start", start, "no way to go", accepted="up, down")
    frame = arrange(chart, home, choruses=choruses, tempo=tempo, ending=ending)
    played = chart.unfolded()
    mode = tune_mode(played)
    if scale is None:
        scale = HELD[mode]
    held = scale if isinstance(scale, ScaleFormula) else find_scale(scale)
    taste = style if isinstance(style, Style) else find_style(style)
    plan = plan_progression(played, held, taste, mode)
    ends = _compass(neck, home, plan, position, closed=closed, ends=(lowest, highest))
    line = _Line(plan, home, figure, ends, goes_up=start == "up", on_chords=on_chords)
    beats = find_meter(chart.meter).beats * len(played.bars) * choruses
    notes = line.through(beat, find_meter(chart.meter).name, Fraction(beats), choruses)
    if ending:
        rung = line.nearest_tonic(notes[-1].midi)
        length = frame.end - beats
        notes.append(
            ScoreNote(Fraction(beats), length, rung.midi, rung.pitch, degree=Degree(1), role="root")
        )
    if neck is not None and neck.frets_a_finger:
        notes = fingered_line(neck, notes, tempo=tempo, closed=closed)
    return replace(
        frame,
        parts=(Part("line", tuple(notes), neck.voice if neck is not None else "guitar"),),
        feel="",
        title=f"{chart.name} in {home}: {figure.name}, {beat.name}",
    )


@dataclass(frozen=True, slots=True)
class _Ground:
    """A chord of the plan with the ladder that is climbed over it."""

    entry: PlanEntry
    ladder: Ladder
    roles: dict[int, tuple[str, Degree]]


class _Line:
    """A line that keeps its direction and its place from chord to chord."""

    def __init__(
        self,
        plan: Plan,
        key: Key,
        pattern: SequencePattern,
        ends: tuple[int, int],
        *,
        goes_up: bool,
        on_chords: bool,
    ) -> None:
        self.key, self.pattern, self.ends = key, pattern, ends
        self.down, self.on_chords = not goes_up, on_chords
        self.grounds = [self._ground(entry) for entry in plan.entries]
        self.ladder = Ladder((), *ends)
        self.base = 0
        self.waiting: list[int] = []
        self.last: int | None = None
        self.before: _Ground | None = None

    def through(
        self, rhythm: Rhythm, meter: str, beats: Fraction, choruses: int
    ) -> list[ScoreNote]:
        """The notes of all choruses."""
        lengths = rhythm.lengths(find_meter(meter))
        edges: list[tuple[Fraction, _Ground]] = []
        end = Fraction(0)
        for ground in self.grounds * choruses:
            end += ground.entry.beats
            edges.append((end, ground))
        notes: list[ScoreNote] = []
        at, place = Fraction(0), 0
        while at < beats:
            while at >= edges[place][0]:
                place += 1
            ground = edges[place][1]
            rung = self._next(ground)
            length = min(next(lengths), beats - at)
            role, degree = ground.roles[rung.midi % 12]
            notes.append(ScoreNote(at, length, rung.midi, rung.pitch, degree=degree, role=role))
            at += length
        return notes

    def nearest_tonic(self, midi: float) -> Rung:
        """The tonic to end on."""
        ladder = Ladder(((self.key.tonic, Degree(1)),), *self.ends)
        rungs = [ladder.rung(at) for at in ladder.inside()]
        return min(rungs, key=lambda rung: (abs(rung.midi - midi), rung.midi))

    def _ground(self, entry: PlanEntry) -> _Ground:
        """The ladder of a chord's scale, and what each of its notes does there."""
        unwanted = set() if self.pattern.by_letter else {*entry.fit.unwanted_places}
        notes: list[tuple[Note, Degree]] = []
        roles: dict[int, tuple[str, Degree]] = {}
        for place, fit in enumerate(entry.fit.notes):
            printed = printed_degree(fit.degree, fit.alternate, self.key.tonic)
            note = printed.at(self.key.tonic)
            degree = printed.minus(entry.numeral.root)
            if fit.member is not None and fit.kind.name == "chord tone":
                degree = fit.member
            roles[note.pitch_class] = (fit.role, degree)
            if place not in unwanted:
                notes.append((note, printed))
        return _Ground(entry, Ladder(tuple(notes), *self.ends), roles)

    def _next(self, ground: _Ground) -> Rung:
        # The same notes counted from another tonic are no new scale to the fingers.
        new_scale = {*ground.ladder.notes} != {*self.ladder.notes}
        new_chord = self.before is None or self.before.entry.numeral != ground.entry.numeral
        self.before = ground
        if new_scale or (self.on_chords and new_chord):
            self.ladder = ground.ladder
            self._join(ground.roles)
        elif not self.waiting:
            self._move()
        rung = self.ladder.rung(self.base + self.waiting.pop(0))
        self.last = rung.midi
        return rung

    @property
    def _offsets(self) -> tuple[int, ...]:
        return self.pattern.offsets(self.ladder.count, down=self.down)

    @property
    def _bases(self) -> range:
        bases = self.ladder.bases(self._offsets)
        if not bases:
            raise BadInput("compass", self.ladder, f"too narrow for {self.pattern.name}")
        return bases

    def _move(self) -> None:
        """The next figure of the same scale, turning where the compass ends."""
        base = self.base + (-self.pattern.stride if self.down else self.pattern.stride)
        if base not in self._bases:
            self.down = not self.down
            bases, first = self._bases, self._offsets[0]
            base = bases[-1] if self.down else bases[0]
            if self.ladder.rung(base + first).midi == self.last and len(bases) > 1:
                base += -1 if self.down else 1
        self.base, self.waiting = base, [*self._offsets]

    def _join(self, roles: dict[int, tuple[str, Degree]]) -> None:
        """The first figure of a new scale: the nearest note to the one before."""
        first, last = self._offsets[0], self.last

        def cost(base: int) -> tuple[bool, bool, int, bool, bool]:
            midi = self.ladder.rung(base + first).midi
            role, _ = roles[midi % 12]
            if last is None:
                # To begin with, a root, where there is most room to go.
                return role != "root", False, -base if self.down else base, False, False
            onward = midi < last if self.down else midi > last
            rubs = role not in ("root", "chord tone")
            aside = rubs and self.on_chords
            return midi == last, aside, abs(midi - last), rubs, not onward

        self.base = min(self._bases, key=cost)
        self.waiting = [*self._offsets]


def _compass(
    instrument: Instrument | None,
    key: Key,
    plan: Plan,
    position: int | None,
    *,
    closed: bool,
    ends: tuple[Pitch | str | None, Pitch | str | None],
) -> tuple[int, int]:
    """The compass asked for; else of the position, or the neck up to the octave."""
    low, high = (None if end is None else as_pitch(end).midi for end in ends)
    if position is not None:
        held = plan.held if not plan.held.follows_chord else find_scale("major")
        hand = position_of(instrument, Scale(key.tonic, held), position, closed=closed)
        midis = [place.cell.midi for place in hand.places]
        bottom, top = min(midis), max(midis)
    else:
        found = usual_compasses(instrument, key.tonic)
        bottom, top = found[0] if instrument is None else found[-2]
    return bottom if low is None else low, top if high is None else high
