"""A part as the names of its notes, bar by bar: what can be written where a neck has no frets."""

from __future__ import annotations

from theorykit.score.score import Score

_CHORD_WIDTH = 8


def note_names(score: Score, *, part: str = "line") -> str:
    """A line for each bar: its number, its chords, and the notes that begin in it.

    A pick-up stands as bar 0.

    Examples
    --------
    >>> from theorykit.score.arrange import arrange
    >>> score = arrange("| I | V7 |", "G", feel="bluegrass", ending=False)
    >>> print(note_names(score, part="bass"))
      1  G       G2 D3 E3
      2  D7      D3 A2 G2
    """
    notes = score.part(part).notes
    starts = [bar.start for bar in score.bars] or [notes[0].start]
    rows: list[tuple[list[str], list[str]]] = [([], []) for _ in range(len(starts) + 1)]

    def row(beat: object) -> tuple[list[str], list[str]]:
        return rows[sum(start <= beat for start in starts)]  # type: ignore[operator]

    for placed in score.chords:
        row(placed.start)[0].append("N.C." if placed.chord is None else placed.chord.pretty)
    for note in notes:
        row(note.start)[1].append(str(note.midi) if note.pitch is None else note.pitch.pretty)
    return "\n".join(
        f"{number:>3}  {' '.join(chords):<{_CHORD_WIDTH}}{' '.join(names)}".rstrip()
        for number, (chords, names) in enumerate(rows)
        if chords or names
    )
