"""What was found in a take, as it is given back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from typing import TYPE_CHECKING

from theorykit.practice.line_chart import LineChart
from theorykit.review.changes import Change
from theorykit.review.finding import KINDS, Finding
from theorykit.review.mark import mark
from theorykit.review.motif import Motif
from theorykit.review.report import report
from theorykit.review.role import JudgedNote
from theorykit.review.shape import Shape
from theorykit.review.take import Take
from theorykit.review.timing import Timing
from theorykit.review.usage import BarUse
from theorykit.theory.table import html_table

if TYPE_CHECKING:
    from theorykit.log.practice_log import PracticeLog


@dataclass(frozen=True, slots=True)
class Review:
    """What was found in a take.

    Parameters
    ----------
    take : Take
        On the chart's grid.
    chart : LineChart
        Every chorus of it.
    notes : tuple of JudgedNote
    changes : tuple of Change
    timing : Timing or None
        None where the take was written and not played.
    shape : Shape
    motifs : tuple of Motif
    bars : tuple of BarUse
        Which scale each bar draws on.
    findings : tuple of Finding
        In the order of the bars; what concerns the whole take comes last.
    lost : dict
        Points lost, by kind of finding.
    """

    take: Take
    chart: LineChart
    notes: tuple[JudgedNote, ...]
    changes: tuple[Change, ...]
    timing: Timing | None
    shape: Shape
    motifs: tuple[Motif, ...]
    bars: tuple[BarUse, ...]
    findings: tuple[Finding, ...]
    lost: dict[str, float]

    @property
    def score(self) -> int:
        """0 to 100: 100 less the points of ``lost``; see ``mark`` for how they are stipulated."""
        return mark(self.lost)

    @property
    def offset(self) -> Fraction:
        """Beats of the recording before the first bar line; below 0 where it starts later."""
        return self.take.lead

    @property
    def strong_share(self) -> float | None:
        """The share of chord tones among the notes on strong beats; None if there are none."""
        strong = [note.in_chord for note in self.notes if note.strong and note.in_form]
        return sum(strong) / len(strong) if strong else None

    @property
    def hit_share(self) -> float | None:
        """The share of changes met by a chord tone, of those at which a note was played."""
        met = [change.hit for change in self.changes if change.target is not None]
        return sum(met) / len(met) if met else None

    @property
    def guided_share(self) -> float | None:
        """The share of changes met by the third or seventh, of those at which one played."""
        met = [change.guided for change in self.changes if change.target is not None]
        return sum(met) / len(met) if met else None

    @property
    def report(self) -> str:
        """The whole in plain words, what went well first."""
        return report(self)

    def records(self) -> list[dict[str, object]]:
        """One plain row for each note, with what was found at it and what to do instead."""
        told = self._told()
        rows = []
        for index, note in enumerate(self.notes):
            here = told.get((note.bar, note.beat), [])
            row = note.record()
            row["finding"] = ", ".join(dict.fromkeys(finding.kind for finding in here))
            row["suggestion"] = " ".join(dict.fromkeys(finding.suggestion for finding in here))
            if self.timing is not None:
                row["milliseconds_late"] = round(self.timing.offsets[index], 1)
            rows.append(row)
        return rows

    def _told(self) -> dict[tuple[int, Fraction], list[Finding]]:
        """The findings by the place of the note that each is told at."""
        told: dict[tuple[int, Fraction], list[Finding]] = {}
        for finding in self.findings:
            place = finding.bar, finding.beat
            if finding.kind == "missed change":
                # Where nothing is struck at the change, the first note after it has to tell.
                after = [
                    note
                    for note in self.notes
                    if note.bar == finding.bar and note.beat >= finding.beat
                ]
                place = (finding.bar, after[0].beat) if after else place
            told.setdefault(place, []).append(finding)
        return told

    def bar_records(self) -> list[dict[str, object]]:
        """One plain row for each bar: its chords and the scale that it draws on."""
        return [bar.record() for bar in self.bars]

    def finding_records(self) -> list[dict[str, object]]:
        """One plain row for each finding."""
        return [finding.record() for finding in self.findings]

    def summary(self) -> dict[str, float | None]:
        """The figures that one take is compared with another by."""
        timed = self.timing
        figures: dict[str, float | None] = {
            "score": float(self.score),
            "chord tones on strong beats": self.strong_share,
            "changes met by a chord tone": self.hit_share,
            "changes met by a third or seventh": self.guided_share,
            "rests": self.shape.rest_share,
            "milliseconds late": timed.mean if timed is not None else None,
            "scatter in milliseconds": timed.deviation if timed is not None else None,
            "swing": timed.swing if timed is not None else None,
            "drift in milliseconds": timed.drift if timed is not None else None,
        }
        for kind in KINDS:
            figures[kind] = float(sum(finding.kind == kind for finding in self.findings))
        return figures

    def kept(self) -> dict[str, object]:
        """What a log keeps of it, as plain data: its figures, and its findings and report."""
        return {
            **self.summary(),
            "chart": self.chart.title,
            "key": str(self.chart.key),
            "findings": self.finding_records(),
            "report": self.report,
        }

    def keep(self, log: PracticeLog, *, title: str = "", at: datetime | None = None) -> int:
        """Keep it in a practice log; the record's number.

        Parameters
        ----------
        log : PracticeLog
        title : str, optional
            Takes of one title are compared with one another; the chart and its key if not given.
        at : datetime, optional
            Now, if not given.

        Raises
        ------
        BadInput
            If the log can't keep it.
        """
        name = title or f"{self.chart.title or 'solo'} in {self.chart.key}"
        return log.add_take(self.kept(), title=name, at=at)

    def _repr_html_(self) -> str:
        rows = [
            (
                str(finding.bar or "all"),
                f"{float(finding.beat):.3g}" if finding.beat else "",
                finding.kind,
                finding.words,
                finding.suggestion,
            )
            for finding in self.findings
        ]
        title = " ".join(word for word in (self.chart.title, f"in {self.chart.key}") if word)
        header = ("bar", "beat", "kind", "what", "instead")
        return html_table(f"{title}: {self.score} of 100", header, rows)
