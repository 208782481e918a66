"""Tables in notebooks: right, escaped, and made for a screen reader."""

from html.parser import HTMLParser

import pytest

from theorykit.theory.chord import Chord
from theorykit.theory.form import FORMS, MORE_FORMS
from theorykit.theory.progression import Progression
from theorykit.theory.scale import SCALES, Scale
from theorykit.theory.table import html_table


class Reader(HTMLParser):
    """Collects tags, scopes and the text of cells."""

    def __init__(self):
        super().__init__()
        self.tags, self.scopes, self.rows, self.open = [], [], [], []

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.open.append(tag)
        if tag == "tr":
            self.rows.append([])
        if tag in {"td", "th"}:
            self.rows[-1].append("")
        self.scopes += [value for name, value in attrs if name == "scope"]

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if self.open and self.open[-1] in {"td", "th"}:
            self.rows[-1][-1] += data


def read(html):
    reader = Reader()
    reader.feed(html)
    assert reader.open == []
    return reader


@pytest.mark.parametrize(
    ("value", "rows"),
    [(Scale.parse("Eb minor pentatonic"),
      [["degree", "note"], ["1", "E♭"], ["♭3", "G♭"], ["4", "A♭"], ["5", "B♭"], ["♭7", "D♭"]]),
     (Chord.parse("F/G"), [["member", "note"], ["2", "G"], ["1", "F"], ["3", "A"], ["5", "C"]]),
     (Chord.parse("Bb7"), [["member", "note"], ["1", "B♭"], ["3", "D"], ["5", "F"], ["♭7", "A♭"]]),
     (Progression.parse("| I . . V7 | N.C. |"),
      [["bar", "chords"], ["1", "I . . V7"], ["2", "N.C."]])],
)  # fmt: skip
def test_tables_hold_what_the_value_holds(value, rows):
    reader = read(value._repr_html_())
    assert reader.rows == rows
    assert reader.scopes == ["col"] * 2 + ["row"] * (len(rows) - 1)
    assert reader.tags.count("caption") == 1


def test_a_hostile_name_is_shown_and_not_run():
    chart = Progression.parse("| I |", name='<img src=x onerror="alert(1)"> & co')
    reader = read(chart._repr_html_())
    assert "img" not in reader.tags
    assert "&lt;img" in chart._repr_html_()
    assert "<b>" not in html_table("<b>", ["<b>"], [["<b>", '"<b>'[1:]]])


def test_every_scale_and_form_has_a_table():
    for formula in SCALES.values():
        html = Scale(Chord.parse("Eb").root, formula)._repr_html_()
        assert len(read(html).rows) == 1 + len(formula.degrees)
    for form in [*FORMS.values(), *MORE_FORMS.values()]:
        assert len(read(form._repr_html_()).rows) == 1 + len(form.bars)


def test_records_are_plain():
    assert Scale.parse("A major pentatonic").records()[2] == {
        "degree": "3", "note": "C#", "semitones": 4,
    }  # fmt: skip
    assert Chord.parse("Am7/G").records()[0] == {"degree": "1", "note": "A", "semitones": 0}
