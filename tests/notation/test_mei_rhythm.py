"""Note values, ties, tuplets and beams against tables typed by hand."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest
from notation.sheets import line

from theorykit.notation.bar import Piece, WrittenBar, written_bars
from theorykit.theory.meter import METERS, find_meter

#: Meter; lengths in quarters, r for a rest; what each bar looks like: values with dots, r for a
#: rest, ~ for a tie to what follows, brackets around tuplets with their number. The rules are those
#: of notation handbooks (Read 1969; Gould 2011, from memory) and were typed before any run.
WRITTEN = (
    ("4/4", "1 1 1 1", "4 4 4 4"),
    ("4/4", "4", "1"),
    ("4/4", "3 1", "2. 4"),
    ("4/4", "1 3", "4 2."),
    ("4/4", "1 2 1", "4 2 4"),
    ("4/4", "3/2 1/2 2", "4. 8 2"),
    ("4/4", "1 3/2 3/2", "4 4~ 8 4."),
    ("4/4", "1/2 1 1 1 1/2", "8 4 8~ 8 4 8"),
    ("4/4", "1/2 1 1/2 2", "8 4 8 2"),
    ("4/4", "1/2 7/2", "8 4.~ 2"),
    ("4/4", "3/2 5/2", "4. 8~ 2"),
    ("4/4", "5/2 3/2", "2~ 8 4."),
    ("4/4", "1/4 1/2 1/4 3/4 1/4 2", "16 8 16 8. 16 2"),
    ("4/4", "3/4 1/2 3/4 2", "8. 16~ 16 8. 2"),
    ("4/4", "2 4 2", "2 2~ | 2 2"),
    ("4/4", "r1 1 r2", "r4 4 r2"),
    ("4/4", "1 r2 1", "4 r4 r4 4"),
    ("4/4", "1/2 r1 1/2 r2", "8 r8 r8 8 r2"),
    ("4/4", "1/2 r7/2", "8 r8 r4 r2"),
    ("4/4", "1/3 1/3 1/3 1 2", "[3 8 8 8] 4 2"),
    ("4/4", "2/3 1/3 1 2", "[3 4 8] 4 2"),
    ("4/4", "2/3 2/3 2/3 2", "[3 4 4 4] 2"),
    ("4/4", "4/3 4/3 4/3", "[3 2 2 2]"),
    ("4/4", "1/3 r1/3 1/3 1 2", "[3 8 r8 8] 4 2"),
    ("4/4", "1/6 1/6 1/6 1/2 3", "[3 16 16 16] 8 2."),
    ("4/4", "1/6 1/6 1/6 1/6 1/6 1/6 3", "[6 16 16 16 16 16 16] 2."),
    ("4/4", "1/3 1/6 1/6 1/3 3", "[3 8 16 16 8] 2."),
    ("4/4", "1/5 1/5 1/5 1/5 1/5 3", "[5 16 16 16 16 16] 2."),
    ("4/4", "5/3 1/3 2", "4~ [3 4 8] 2"),
    ("3/4", "3", "2."),
    ("3/4", "2 1", "2 4"),
    ("3/4", "1 2", "4 2"),
    ("3/4", "3/2 3/2", "4. 4."),
    ("3/4", "1 r2", "4 r4 r4"),
    ("3/4", "1/2 1 1 1/2", "8 4 4 8"),
    ("2/4", "1 3", "4 4~ | 2"),
    ("2/2", "2 2", "2 2"),
    ("2/2", "1 2 1", "4 2 4"),
    ("6/8", "3/2 3/2", "4. 4."),
    ("6/8", "3", "2."),
    ("6/8", "1 1/2 1/2 1", "4 8 8 4"),
    ("6/8", "1 1 1", "4 8~ 8 4"),
    ("6/8", "1/2 5/2", "8 4~ 4."),
    ("6/8", "2 1", "4.~ 8 4"),
    ("6/8", "1/2 r1 3/2", "8 r8 r8 4."),
    ("6/8", "r1 1/2 r3/2", "r4 8 r4."),
    ("6/8", "3/4 1/4 1/2 3/2", "8. 16 8 4."),
    ("12/8", "6", "1."),
    ("12/8", "3 3", "2. 2."),
    ("12/8", "9/2 3/2", "2.~ 4. 4."),
    ("9/8", "3 3/2", "2. 4."),
    ("5/4", "3 2", "2. 2"),
    ("5/4", "2 2 1", "2 4~ 4 4"),
    ("7/8", "1 1 3/2", "4 4 4."),
)  # fmt: skip


def shown(bar: WrittenBar) -> str:
    words, group = [], 0
    for piece in bar.pieces:
        if group and piece.group != group:
            words[-1] += "]"
        if piece.group and piece.group != group:
            assert piece.tuplet is not None
            words.append(f"[{piece.tuplet.count}")
        group = piece.group
        tie = "~" if piece.tied_on else ""
        words.append(f"{'' if piece.notes else 'r'}{piece.value}{'.' * piece.dots}{tie}")
    return " ".join(words) + ("]" if group else "")


def bars_of(meter: str, lengths: str, pickup: Fraction = Fraction(0)) -> tuple[WrittenBar, ...]:
    quarters = find_meter(meter).beat_quarters
    rows = [
        (None if word.startswith("r") else "A4", Fraction(word.lstrip("r")) / quarters)
        for word in lengths.split()
    ]
    score = line(rows, meter=meter, pickup=pickup)
    return written_bars(score, score.part("line").notes)


@pytest.mark.parametrize(("meter", "lengths", "expected"), WRITTEN)
def test_a_rhythm_is_written_as_the_handbooks_have_it(
    meter: str, lengths: str, expected: str
) -> None:
    assert " | ".join(shown(bar) for bar in bars_of(meter, lengths)) == expected


#: Meter; lengths in quarters; how many notes each beam joins (Gould 2011, from memory: by the beat;
#: eighths by the half bar in 4/4 and by the bar in 3/4; never over the middle of 4/4).
BEAMED = (
    ("4/4", "1/2 " * 8, [4, 4]),
    ("3/4", "1/2 " * 6, [6]),
    ("2/4", "1/2 " * 4, [4]),
    ("6/8", "1/2 " * 6, [3, 3]),
    ("9/8", "1/2 " * 9, [3, 3, 3]),
    ("12/8", "1/2 " * 12, [3, 3, 3, 3]),
    ("5/8", "1/2 " * 5, [3, 2]),
    ("7/8", "1/2 " * 7, [2, 2, 3]),
    ("4/4", "1/4 " * 16, [4, 4, 4, 4]),
    ("4/4", "1/2 1/4 1/4 1/2 1/2 1 1/2 1/2", [3, 2, 2]),
    ("4/4", "1/2 1 1/2 2", []),
    ("4/4", "1/3 1/3 1/3 1/2 1/2 2", [3, 2]),
    ("4/4", "1/2 r1/2 1/2 1/2 2", [2]),
    ("6/8", "1 1/2 1/2 1/2 1/2", [3]),
    ("2/2", "1/2 " * 8, [4, 4]),
)


@pytest.mark.parametrize(("meter", "lengths", "expected"), BEAMED)
def test_beams_show_the_meter(meter: str, lengths: str, expected: list[int]) -> None:
    beams: dict[int, int] = {}
    for piece in bars_of(meter, lengths)[0].pieces:
        if piece.beam:
            beams[piece.beam] = beams.get(piece.beam, 0) + 1
    assert list(beams.values()) == expected


def real_length(piece: Piece) -> Fraction:
    """Quarters that a sign lasts, by the definition of values, dots and tuplets."""
    length = Fraction(4, piece.value) * (Fraction(3, 2) if piece.dots else 1)
    if piece.tuplet is not None:
        length = length * piece.tuplet.time_of / piece.tuplet.count
    return length


@pytest.mark.parametrize("meter", METERS)
def test_signs_add_up_to_bars_and_ties_to_notes(meter: str) -> None:
    dice = random.Random(meter)
    quarters = find_meter(meter).beat_quarters
    lengths = [Fraction(n, 4) for n in (1, 1, 2, 2, 2, 3, 4, 4, 6, 8, 11)]
    for _ in range(60):
        rows: list[tuple[str | None, Fraction]] = []
        while len(rows) < 14:
            if dice.random() < 0.25:
                # A whole beat in three parts, so that what follows is back on the grid.
                rows += [("A4", quarters / 3 / quarters)] * 3
            else:
                name = None if dice.random() < 0.2 else "A4"
                rows.append((name, dice.choice(lengths) / quarters))
        score = line(rows, meter=meter)
        notes = score.part("line").notes
        sums = [Fraction(0)] * len(notes)
        for bar in written_bars(score, notes):
            if bar.pieces:
                total = sum((real_length(piece) for piece in bar.pieces), Fraction(0))
                assert total == bar.beats * quarters
            for piece in bar.pieces:
                for index in piece.notes:
                    sums[index] += real_length(piece)
        assert sums == [note.beats * quarters for note in notes]


def test_a_pickup_is_the_end_of_a_bar() -> None:
    bars = bars_of("4/4", "1/2 1/2 4", pickup=Fraction(1))
    assert [(bar.number, shown(bar)) for bar in bars] == [(0, "8 8"), (1, "1")]
    long = bars_of("3/4", "1 " * 5 + "3", pickup=Fraction(5))
    assert [(bar.number, str(bar.beats), shown(bar)) for bar in long] == [
        (0, "2", "4 4"),
        (0, "3", "4 4 4"),
        (1, "3", "2."),
    ]


def test_what_is_played_short_is_written_plain() -> None:
    # Detached notes of nine tenths of an eighth are eighths; a strum of three fifths is one too.
    assert shown(bars_of("4/4", "9/20 r1/20 9/20 r1/20 3/5 r2/5 2")[0]) == "8 8 8 r8 2"
