"""A tune made something to study: its key, its chart in numerals, its meter and its tempo."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from theorykit.errors import BadInput
from theorykit.score.score import PlacedChord, Score, ScoreBar
from theorykit.theory.chart import ChartChord
from theorykit.theory.chord import Chord
from theorykit.theory.key import TONICS, Key
from theorykit.theory.numeral import Numeral
from theorykit.theory.progression import Progression
from theorykit.tune.chord_proposal import ChordProposal, chart_meter, propose_chords
from theorykit.tune.key_proposal import KeyProposal, propose_key
from theorykit.tune.weights import bars_of


@dataclass(frozen=True, slots=True)
class TuneStudy:
    """What a study of a tune starts from.

    Parameters
    ----------
    title : str
    key : Key
    mode : str
    meter : str
    tempo : float
        Beats a minute.
    progression : Progression
    score : Score
        The tune with the chords over it.
    keys : tuple of KeyProposal
        Every key that was weighed, best first.
    chords : ChordProposal or None
        None where the tune brought its own chords.
    """

    title: str
    key: Key
    mode: str
    meter: str
    tempo: float
    progression: Progression
    score: Score
    keys: tuple[KeyProposal, ...]
    chords: ChordProposal | None

    @property
    def chart(self) -> str:
        """The chart as text, in numerals."""
        return self.progression.text

    @property
    def remark(self) -> str:
        """Whose the chords are."""
        return "The chords are the tune's own." if self.chords is None else self.chords.remark

    def with_chord(self, bar: int, numeral: Numeral | str) -> TuneStudy:
        """The same with one chord of the player's own in a bar, counted from 1.

        Raises
        ------
        BadInput
            If there is no such bar, or it is no numeral.
        """
        own = numeral if isinstance(numeral, Numeral) else Numeral.parse(numeral)
        bars = list(self.progression.bars)
        if isinstance(bar, bool) or not isinstance(bar, int) or not 1 <= bar <= len(bars):
            raise BadInput("bar", bar, "not in this tune", accepted=f"1 to {len(bars)}")
        whole = sum((placed.beats for placed in bars[bar - 1]), Fraction(0))
        bars[bar - 1] = (ChartChord(own, whole),)
        here = bars_of(self.score)[bar - 1]
        symbol = own.chord(self.key.tonic)
        return replace(
            self,
            progression=replace(self.progression, bars=tuple(bars)),
            score=replace(self.score, chords=_placed(self.score.chords, here, symbol, own)),
            chords=self.chords.with_chord(bar, own) if self.chords is not None else None,
        )


def tune_study(
    score: Score,
    key: Key | str | None = None,
    *,
    mode: str | None = None,
    chords_a_bar: Literal[1, 2, "auto"] = "auto",
    own_chords: bool = True,
) -> TuneStudy:
    r"""A tune as something to study.

    Parameters
    ----------
    score : Score
    key : Key or str, optional
        Proposed if not given.
    mode : str, optional
    chords_a_bar : int or str
        See `propose_chords`.
    own_chords : bool
        False to propose chords even where the tune has its own.

    Raises
    ------
    BadInput
        If the score has no notes, or a value is none of these.

    Examples
    --------
    >>> from theorykit.tune.reading import read_tune
    >>> study = tune_study(read_tune(b'X:1\nM:3/4\nL:1/4\nK:D\n"D"DFA|"A7"GEC|"D"D3|]'))
    >>> str(study.progression), str(study.key), study.meter
    ('3/4 key: D major | I | V7 | I |', 'D major', '3/4')
    """
    keys = tuple(propose_key(score))
    if key is None:
        found = [each for each in keys if mode in {None, each.mode}] or list(keys)
        home, kind = found[0].key, mode or found[0].mode
    else:
        home = key if isinstance(key, Key) else Key.parse(key)
        kind = mode or home.mode
    chords = None
    progression = _own(score, home) if own_chords else None
    if progression is None:
        chords = propose_chords(score, home, mode=kind, chords_a_bar=chords_a_bar)
        progression = chords.progression
        score = chords.score_with_chords(score)
    return TuneStudy(
        score.title, home, kind, progression.meter, score.tempo, progression, score, keys, chords
    )


def _own(score: Score, key: Key) -> Progression | None:
    """The tune's own chords as a chart, a bar to a bar; None where it has none."""
    if key.tonic not in TONICS or not any(placed.chord for placed in score.chords):
        return None
    meter = chart_meter(score.meter)
    first = next(placed.chord for placed in score.chords if placed.chord is not None)
    before = ChartChord(Numeral.from_chord(first, key.tonic), Fraction(1), silent=True)
    bars = []
    at = 0
    for bar in bars_of(score):
        row: list[ChartChord] = []
        end, reached = bar.start + bar.beats, bar.start
        scale = meter.beats / bar.beats
        while (
            at < len(score.chords) and score.chords[at].start + score.chords[at].beats <= bar.start
        ):
            at += 1
        for placed in score.chords[at:]:
            if placed.start >= end:
                break
            start = max(placed.start, bar.start)
            until = min(placed.start + placed.beats, end)
            if start > reached:
                row.append(ChartChord(before.numeral, (start - reached) * scale, before.silent))
            silent = placed.chord is None
            numeral = before.numeral
            if placed.chord is not None:
                numeral = Numeral.from_chord(placed.chord, key.tonic)
            before = ChartChord(numeral, (until - start) * scale, silent)
            row.append(before)
            reached = until
        if reached < end:
            row.append(ChartChord(before.numeral, (end - reached) * scale, before.silent))
        bars.append(tuple(row))
    return Progression(tuple(bars), meter.name, score.title, key=key)


def _placed(
    chords: tuple[PlacedChord, ...], bar: ScoreBar, symbol: Chord, numeral: Numeral
) -> tuple[PlacedChord, ...]:
    """Chords with one in the place of all that sounds in a bar."""
    start, end = bar.start, bar.start + bar.beats
    found = [PlacedChord(start, bar.beats, symbol, numeral)]
    for each in chords:
        until = each.start + each.beats
        if each.start < start:
            found.append(replace(each, beats=min(until, start) - each.start))
        if until > end:
            begun = max(each.start, end)
            found.append(replace(each, start=begun, beats=until - begun))
    return tuple(sorted(found, key=lambda each: each.start))
