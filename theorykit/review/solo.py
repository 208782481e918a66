"""A solo checked against its chords."""

from __future__ import annotations

from fractions import Fraction

from theorykit.analysis.style import Style, find_style
from theorykit.errors import BadInput
from theorykit.practice.line_chart import line_chart
from theorykit.review.changes import change_findings, changes
from theorykit.review.grid import Grid
from theorykit.review.mark import lost_points
from theorykit.review.mislaid import mislaid_findings
from theorykit.review.motif import motifs
from theorykit.review.review import Review
from theorykit.review.role import judged, rub_findings
from theorykit.review.shape import shape, shape_findings
from theorykit.review.take import aligned
from theorykit.review.timing import timing, timing_findings
from theorykit.review.usage import bar_uses
from theorykit.score.score import Score, check_tempo
from theorykit.theory.form import find_progression
from theorykit.theory.key import Key
from theorykit.theory.meter import read_meter
from theorykit.theory.progression import Progression

__all__ = ["Review", "check_solo"]

MOST_CHORUSES = 20
#: Beats that may be counted in.
_MOST_COUNTED = 32


def check_solo(
    take: Score,
    progression: Progression | str,
    key: Key | str,
    *,
    style: Style | str = "bluegrass",
    count_in: Fraction | int | None = None,
    tempo: float | None = None,
    choruses: int | None = None,
) -> Review:
    """A solo checked against its chords.

    Parameters
    ----------
    take : Score
        Read from a file, or made here. Its line is looked at, or else its first part.
    progression : Progression or str
        A chart, or the name of a form. Repeats and jumps are played out.
    key : Key or str
    style : Style or str
        Whose taste decides what rubs.
    count_in : Fraction or int, optional
        Beats in the take before the first bar line; found by itself if not given.
    tempo : float, optional
        What the click was set to, where the file does not say.
    choruses : int, optional
        How often the form goes round; as often as the take lasts if not given.

    Raises
    ------
    BadInput
        If anything is out of range, or the take has no notes.

    Examples
    --------
    >>> from theorykit.practice.line import line_over
    >>> line = line_over("I-IV-V vamp", "G", level=1, instrument="mandolin", seed=3)
    >>> review = check_solo(line.score, "I-IV-V vamp", "G")
    >>> review.findings, review.strong_share, str(review.offset)
    ((), 1.0, '0')
    """
    if not isinstance(take, Score):
        raise BadInput("take", take, "is no score", accepted="a Score")
    if tempo is not None:
        check_tempo(tempo)
    if choruses is not None and not (
        isinstance(choruses, int)
        and not isinstance(choruses, bool)
        and 1 <= choruses <= MOST_CHORUSES
    ):
        raise BadInput("choruses", choruses, "out of range", accepted=f"1 to {MOST_CHORUSES}")
    if count_in is not None and not (
        isinstance(count_in, (int, Fraction)) and -_MOST_COUNTED <= count_in <= _MOST_COUNTED
    ):
        accepted = f"beats, up to {_MOST_COUNTED}"
        raise BadInput("count-in", count_in, "out of range", accepted=accepted)
    form = progression if isinstance(progression, Progression) else find_progression(progression)
    home = key if isinstance(key, Key) else Key.parse(key)
    taste = style if isinstance(style, Style) else find_style(style)
    once = line_chart(form, home, taste)
    laid = aligned(take, once, taste, count_in=count_in, tempo=tempo, choruses=choruses)
    if laid.choruses > MOST_CHORUSES:
        reason = f"goes round {laid.choruses} times"
        raise BadInput("take", take.title or "untitled", reason, accepted=f"{MOST_CHORUSES} times")
    chart = line_chart(form, home, taste, choruses=laid.choruses)
    grid = Grid.of(read_meter(chart.meter))
    quarter = 1 / grid.meter.beat_quarters
    bar_beats = chart.bars[0].beats
    notes = judged(laid, chart, taste)
    met = changes(notes, chart)
    timed = timing(laid, grid)
    outline = shape(laid, quarter, bar_beats * len(chart.bars))
    missed = change_findings(met)
    # A bar that still plays the chord before is told once, not note by note.
    told_slots = {id(change.slot) for change in met if change.missed}
    rubs = rub_findings([note for note in notes if id(note.slot) not in told_slots], chart)
    found = [
        *mislaid_findings(laid, chart),
        *rubs,
        *missed,
        *timing_findings(timed, notes, laid.tempo, bar_beats),
        *shape_findings(outline, bar_beats),
    ]
    found.sort(key=lambda finding: (finding.bar == 0, finding.bar, finding.beat))
    return Review(
        laid,
        chart,
        notes,
        met,
        timed,
        outline,
        motifs(laid.notes, quarter),
        bar_uses(notes, chart, taste),
        tuple(found),
        lost_points(found, notes, met),
    )
