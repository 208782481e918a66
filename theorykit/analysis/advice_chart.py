"""Advice for a whole chart, shown as a small table."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from theorykit.analysis.wording import chord_words, scale_words, token, told
from theorykit.theory.degree import Degree
from theorykit.theory.pitch import Note
from theorykit.theory.table import html_table

if TYPE_CHECKING:
    from theorykit.analysis.advice import Advice as _Advice


class AdviceChart(list[list["_Advice"]]):
    """Advice for every chord, bar by bar: a plain list of bars that a notebook shows as a table.

    Examples
    --------
    >>> from theorykit.analysis.advice import advise_progression
    >>> from theorykit.analysis.style import find_style
    >>> from theorykit.theory.progression import Progression
    >>> from theorykit.theory.scale import find_scale
    >>> form, scale = Progression.parse("| I | V |"), find_scale("minor pentatonic")
    >>> chart = advise_progression(form, scale, find_style("bluegrass"))
    >>> [(record["bar"], record["verdict"]) for record in chart.records()]
    [(1, 'stay'), (2, 'switch')]
    """

    def __init__(
        self, bars: Iterable[list[_Advice]] = (), tonics: Iterable[Degree] | None = None
    ) -> None:
        super().__init__(bars)
        #: The tonic that each bar counts from, as a degree of the home key.
        self.tonics = list(tonics) if tonics is not None else [Degree(1)] * len(self)

    def tonic_of(self, bar: int, home: Note) -> Note:
        """The tonic of a bar, 0 for the first, in a key."""
        return self.tonics[bar].at(home)

    def records(self) -> list[dict[str, object]]:
        """A plain record for each chord, names as tokens of the key of its bar; see ``fill``."""
        return [
            {
                "bar": number,
                "key": str(self.tonics[number - 1]),
                "chord": chord_words(advice.numeral),
                "beats": float(advice.beats),
                "verdict": advice.verdict,
                "scale": scale_words(advice.scale, advice.scale_tonic, advice.numeral),
                "watch": [token(note.degree, note.alternate) for note in advice.watch],
                "reason": advice.reason,
            }
            for number, bar in enumerate(self, start=1)
            for advice in bar
        ]

    def html(self, tonic: Note | None = None) -> str:
        """The advice as an HTML table, in a key or, where none is given, in degrees."""
        rows = []
        for number, bar in enumerate(self):
            here = self.tonic_of(number, tonic) if tonic is not None else None
            for advice in bar:
                words = (chord_words(advice.numeral), advice.short, advice.reason)
                rows.append((str(number + 1), *(told(template, here) for template in words)))
        first = self[0][0]
        style = first.fit.style.name
        caption = f"{first.chosen.name}, {style} style: what to play over each chord"
        return html_table(caption, ("bar", "chord", "advice", "why"), rows)

    def _repr_html_(self) -> str:
        return self.html()
