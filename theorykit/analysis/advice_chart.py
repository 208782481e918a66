"""Advice for a whole chart, shown as a small table."""

from __future__ import annotations

from typing import TYPE_CHECKING

from theorykit.analysis.wording import chord_words, scale_words, token, told
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

    def records(self) -> list[dict[str, object]]:
        """A plain record for each chord, names as degree tokens; see ``wording.fill``."""
        return [
            {
                "bar": number,
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
        rows = [
            (
                str(number),
                told(chord_words(advice.numeral), tonic),
                told(advice.short, tonic),
                told(advice.reason, tonic),
            )
            for number, bar in enumerate(self, start=1)
            for advice in bar
        ]
        first = self[0][0]
        style = first.fit.style.name
        caption = f"{first.chosen.name}, {style} style: what to play over each chord"
        return html_table(caption, ("bar", "chord", "advice", "why"), rows)

    def _repr_html_(self) -> str:
        return self.html()
