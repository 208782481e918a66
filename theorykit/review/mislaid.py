"""What says that a take does not belong to its chart as it was given: another key, another pace."""

from __future__ import annotations

from fractions import Fraction

from theorykit.practice.line_chart import LineChart
from theorykit.review.finding import Finding
from theorykit.review.take import Take
from theorykit.theory.key import MAJOR_TONICS, MINOR_TONICS, Key


def played_key(take: Take, chart: LineChart) -> Key:
    """The key that a take seems to be in: the chart's, or one by which it is moved."""
    home = chart.key
    if not take.moved:
        return home
    tonics = MINOR_TONICS if home.mode == "minor" else MAJOR_TONICS
    sounding = (home.tonic.pitch_class - take.moved) % 12
    same = [tonic for tonic in tonics if tonic.pitch_class == sounding]
    return Key(min(same, key=lambda tonic: abs(tonic.alter)), home.mode)


def mislaid_findings(take: Take, chart: LineChart) -> tuple[Finding, ...]:
    """Another key or another pace; neither costs points, since nothing was played badly."""
    found = []
    if take.moved:
        theirs, home = played_key(take, chart).tonic.pretty, chart.key.tonic.pretty
        found.append(
            Finding(
                "other key",
                0,
                Fraction(0),
                f"You seem to play in {theirs}, and the chart is in {home}.",
                "Check the key and the capo before anything else: until they are the same, what "
                "is said here of single notes means little.",
                1.0,
            )
        )
    if take.pace != 1:
        way = "faster" if take.pace > 1 else "slower"
        click = take.tempo / take.pace
        found.append(
            Finding(
                "other pace",
                0,
                Fraction(0),
                f"You go at about {take.tempo:.0f} beats a minute, {way} than the click at "
                f"{click:.0f}.",
                "Tap your foot to the click for two bars before you come in; if you played with "
                "no click, say what tempo you meant.",
                0.5,
            )
        )
    return tuple(found)
