"""Advice for a chart as records and as a table."""

from theorykit.analysis.advice import advise_progression
from theorykit.analysis.explain import explain
from theorykit.analysis.style import find_style
from theorykit.theory.pitch import Note
from theorykit.theory.progression import Progression
from theorykit.theory.scale import find_scale

FORM = Progression.parse("| I7 | IV7 V7 |")
CHART = advise_progression(FORM, find_scale("blues"), find_style("bluegrass"))


def test_a_chart_is_a_list_of_bars():
    assert isinstance(CHART, list)
    assert [[str(advice.numeral) for advice in bar] for bar in CHART] == [["I7"], ["IV7", "V7"]]
    assert list(CHART) == CHART


def test_the_records():
    records = CHART.records()
    assert [(record["bar"], record["chord"], record["beats"]) for record in records] == [
        (1, "{1:7}", 4.0),
        (2, "{4:7}", 2.0),
        (2, "{5:7}", 2.0),
    ]
    assert records[1] == {
        "bar": 2,
        "key": "1",
        "chord": "{4:7}",
        "beats": 2.0,
        "verdict": "pass",
        "scale": "{1} blues",
        "watch": ["b5|#4"],
        "reason": CHART[1][0].reason,
    }


def test_the_table_in_degrees_and_in_a_key():
    table = CHART._repr_html_()
    assert "<caption>blues, bluegrass style: what to play over each chord</caption>" in table
    assert table.count('scope="col"') == 4
    assert table.count('scope="row"') == 3
    assert "<td>V7</td><td>switch to 5 blues</td>" in table
    assert "<td>pass through ♭5</td>" in table
    keyed = CHART.html(Note.parse("Gb"))
    assert "<td>D♭7</td><td>switch to D♭ blues</td>" in keyed
    assert "{" not in table + keyed


def test_what_a_user_typed_is_escaped():
    style = find_style("blues").edited("<i>mine</i>", {})
    table = advise_progression(FORM, find_scale("blues"), style).html()
    assert "&lt;i&gt;mine&lt;/i&gt; style" in table
    assert "<i>" not in table


def test_an_explanation_as_a_table():
    why = explain(CHART[1][1])
    table = why.html(Note.parse("A"))
    assert table.count('scope="row"') == 6
    assert table.count('scope="col"') == 6
    assert '<th scope="row">C</th><td>avoid, foreign to the key</td><td>0.9</td>' in table
    assert "<td>leave out</td>" in table
    assert '<th scope="row">♭3</th>' in why._repr_html_()
    assert "{" not in table + why._repr_html_()


def test_a_change_of_key_takes_the_scale_with_it():
    # Common practice: after the change everything is counted from the new tonic.
    form = Progression.parse("| I | key: II | V |")
    chart = advise_progression(form, find_scale("minor pentatonic"), find_style("bluegrass"))
    assert [str(tonic) for tonic in chart.tonics] == ["1", "2"]
    assert chart.tonic_of(1, Note.parse("G")) == Note.parse("A")
    # Over E in A, as over D in G, the key's flat third is unwanted.
    assert chart[1][0].verdict == "switch"
    assert "Over E, leave A minor pentatonic for E minor pentatonic" in chart.html(Note.parse("G"))
