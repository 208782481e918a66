"""The pictures in docstrings: every mark of theirs is what the call above them shows."""

from __future__ import annotations

import doctest
import inspect
import re
import unicodedata
from collections.abc import Mapping
from datetime import datetime
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

import theorykit as tk
from theorykit.instruments.catalogue import find_instrument
from theorykit.notation.tablature import string_names
from theorykit.plots.shelf import survey_bars
from theorykit.scene.blank import mark_labels
from theorykit.scene.ensemble import ensemble_scene
from theorykit.scene.sheet import tablature_of
from theorykit.scene.sheet_scene import chosen_sheet
from theorykit.theory.pitch import Note, Pitch

EXPLORERS = [name for name in tk.__all__ if name.endswith("Explorer")]
PICTURED = [*EXPLORERS, "BlankNeck", "progress_plot", "survey_plot", "handout", "scale_reference"]

#: ``help`` sets a docstring in by so many columns.
WIDEST, SET_IN = 88, 4

#: How a role is written where it is not the plain one.
WRITTEN = {"root": "[{}]", "tonic": "[{}]", "blue": "<{}>", "passing": "({})", "faded": "·"}

#: A sentence that ends in two colons, and the lines set in after it.
PICTURE = re.compile(r"((?:^\S.*\n)*^\S.*)::\n\n((?:(?: {4}.*)?\n)+?)(?=^\S|\Z)", re.MULTILINE)


def picture(name: str) -> tuple[str, list[str]]:
    """What stands above the one picture of a public name, and its lines."""
    ((above, lines),) = PICTURE.findall(inspect.getdoc(getattr(tk, name)) + "\n")
    return above.replace("\n", " "), [line[4:] for line in lines.rstrip().split("\n")]


def shown(name: str) -> tuple[Any, list[str]]:
    """What the call above a picture gives, and the picture."""
    above, lines = picture(name)
    call = re.match(rf"``({name}\(.*?\))``", above)
    assert call is not None, above
    return eval(call[1], {each: getattr(tk, each) for each in tk.__all__}), lines


def neck_marks(lines: list[str], instrument: str) -> dict[tuple[int, int], str]:
    """What is written on a neck by string and fret, its strings and fret numbers checked."""
    header, *rows = lines
    found, lefts = {}, set()
    for number, row in enumerate(rows, start=1):
        left, _, cells = row.partition("║")
        lefts.add(len(left))
        assert left[:-4].strip() == string_names(find_instrument(instrument))[number - 1].strip()
        for fret, cell in enumerate([left[-3:], *cells.split("│")[:-1]]):
            assert len(cell) == 3
            found[number, fret] = cell.strip("─ ")
    (left,) = lefts
    frets = max(fret for _, fret in found)
    numbers = [(match.end(), int(match[0])) for match in re.finditer(r"\d+", header)]
    assert numbers == [(left - 1 + 4 * fret, fret) for fret in range(frets + 1)]
    assert len(rows) == len(find_instrument(instrument).strings)
    return {place: text for place, text in found.items() if text}


def written(marks: list[dict[str, Any]], last: int) -> dict[tuple[int, int], str]:
    """What a neck has to have, from the marks of a scene."""
    return {
        (mark["string"], mark["fret"]): WRITTEN.get(mark["role"], "{}").format(mark["label"])
        for mark in marks
        if mark["fret"] <= last
    }


def check_ruler(lines: list[str], ruler: Mapping[str, Any]) -> None:
    """Each label of a ruler stands where its half step does."""
    names = {match.start(): match[0] for match in re.finditer(r"\S+", lines[1])}
    assert list(names.values()) == ruler["slots"]
    (wide,) = {after - before for before, after in pairwise(names)}
    first = min(names) % wide
    rows = [lines[0], *lines[2:]]
    for row, side in zip(rows, ("above", "below")[: len(rows)], strict=True):
        drawn = {
            (match.start() + 1 - first + wide // 3) // wide: match[0]
            for match in re.finditer(r"\S+", row)
        }
        patterns = WRITTEN if side == "above" else {}
        assert drawn == {
            mark["slot"]: patterns.get(mark["role"], "{}").format(mark["label"])
            for mark in ruler[side]
        }
    assert len(rows) == 2 or not ruler["below"]


@pytest.mark.parametrize("name", PICTURED)
def test_each_has_a_picture_that_fits(name: str) -> None:
    _, lines = picture(name)
    assert 3 <= len(lines) <= 10
    # The lines are set in once more, being a picture.
    assert max(map(len, lines)) + 2 * SET_IN <= WIDEST
    # In a fixed pitch all letters are equally wide: none of double width, none that join others.
    for letter in "".join(lines):
        assert letter.isprintable()
        assert unicodedata.east_asian_width(letter) not in "WF"
        assert not unicodedata.combining(letter)


def test_a_scale() -> None:
    explorer, lines = shown("ScaleExplorer")
    scene = explorer.study.scene("scale")
    assert neck_marks(lines[:5], "mandolin") == written(scene["neck"], 12)
    assert lines[5] == ""
    check_ruler(lines[6:], scene["ruler"])


def test_a_position() -> None:
    explorer, lines = shown("PositionExplorer")
    scene = explorer.study.scene("positions")
    assert lines[:2] == [scene["heading"], ""]
    drawn = neck_marks(lines[2:], "mandolin")
    assert drawn == written(scene["neck"], 12)
    # Every place of the run stands out.
    assert {tuple(place) for place in scene["run"]} == {
        place for place, text in drawn.items() if text != "·"
    }


def test_a_progression() -> None:
    explorer, lines = shown("ProgressionExplorer")
    scene = explorer.study.scene("progression")
    for line, field in zip(lines, ("numeral", "chord", "short"), strict=False):
        cells = [cell.strip() for cell in line.strip("│").split("│")]
        assert cells == [chord[field] for (chord,) in scene["chart"]]
    assert (lines[3], lines[6]) == ("", "")
    assert " ".join(lines[4:6]) == scene["sentence"]
    check_ruler(lines[7:], scene["ruler"])


def test_an_ensemble() -> None:
    explorer, lines = shown("EnsembleExplorer")
    necks = ensemble_scene(explorer.study.selection, explorer._necks)["necks"]
    assert "over A7" in picture("EnsembleExplorer")[0]
    assert explorer.study.scene()["chart"][0][0]["chord"] == "A7"
    for neck, part in zip(necks, (lines[:5], lines[5:]), strict=True):
        name = neck["instrument"]
        assert part[0].startswith(name)
        assert neck_marks(part, name) == written(neck["neck"], 12)


def test_a_blank_neck() -> None:
    neck, lines = shown("BlankNeck")
    labels = mark_labels(neck.board, neck._marks(), key=neck.key, labels=neck.labels)
    marks = [
        {"string": mark.string, "fret": mark.fret, "role": mark.role, "label": label}
        for mark, label in zip(neck._marks(), labels, strict=True)
    ]
    drawn = neck_marks(lines, neck.instrument)
    assert drawn == written(marks, 99)
    assert len(drawn) == len(marks)


def test_the_shapes_of_a_chord() -> None:
    explorer, lines = shown("ShapeExplorer")
    texts, open_strings, _, *rows = lines
    frets, members = rows[:-1:2], rows[-1]
    starts = [match.start() for match in re.finditer(r"\S+", texts)]
    shapes = explorer.study.scene("shapes")["shapes"][: len(starts)]
    for start, shape in zip(starts, shapes, strict=True):
        assert texts[start:].split()[0] == shape["text"]
        for number, (fret, finger) in enumerate(zip(shape["frets"], shape["fingers"], strict=True)):
            column = start + 3 * number
            told = {None: "×", 0: "○"}.get(fret, " ")
            assert open_strings.ljust(column + 1)[column] == told
            stopped = {row: line[column] for row, line in enumerate(frets, start=1)}
            assert stopped == {
                row: str(finger) if fret == row else "│" for row in range(1, len(frets) + 1)
            }
            assert members[column : column + 3].strip() == (shape["degrees"][number] or "")


@pytest.mark.parametrize(
    ("name", "kind", "whole"),
    [
        ("SequenceExplorer", "sequences", False),
        ("LineExplorer", "lines", True),
        ("TuneExplorer", "tunes", True),
    ],
)
def test_tablature(
    name: str, kind: str, whole: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    tune = "X:1\nT:Steps\nM:4/4\nL:1/4\nK:G\nG A B d|e d B G|]\n"
    Path("steps.abc").write_text(tune, encoding="utf-8")
    explorer, lines = shown(name)
    study = explorer.study
    text = tablature_of(chosen_sheet(study.selection, kind), study.instrument)
    # An empty line ends a system that is not the last.
    drawn = "\n".join([*lines, ""])
    assert text == drawn if whole else text.startswith(drawn + "\n")


def test_a_question() -> None:
    explorer, lines = shown("QuizExplorer")
    question = explorer._view.quiz["questions"][0]
    options = [(at, line) for at, line in enumerate(lines) if line.startswith("  ")]
    first, last = options[0][0], options[-1][0]
    assert " ".join(lines[:first]) == question["text"]
    assert [line[4:] for _, line in options] == list(question["options"])
    assert [line[2] for _, line in options].index("●") == question["answer"]
    assert " ".join(lines[last + 1 :]) == question["why"]


def test_a_take() -> None:
    _, (heading, chords, *rows) = picture("SoloExplorer")
    names: dict[str, Any] = {"SoloExplorer": tk.SoloExplorer}
    for example in doctest.DocTestParser().get_examples(tk.SoloExplorer.__doc__ or ""):
        exec(example.source, names)
    scene = names["shown"].scene
    assert heading == scene["heading"]
    assert chords.replace("│", " ").split() == [bar[0]["chord"] for bar in scene["chart"]]
    drawn = []
    for row in rows:
        name, *bars = row.split("│")[:-1]
        assert {len(bar) for bar in bars} == {12}
        # A beat has three letters, the first of them empty or the end of what goes on.
        for match in re.finditer(r"[^ ─]+─*", "".join(bars)):
            degree = match[0].rstrip("─")
            beats = (len(match[0]) + 1) // 3 if "─" in match[0] else 1
            drawn.append(((match.start() - 1) / 3, beats, Pitch.parse(name.strip()).midi, degree))
    assert sorted(drawn) == [
        (note["onset"], note["beats"], note["midi"], note["degree"]) for note in scene["notes"]
    ]


def test_progress(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    log = tk.PracticeLog("mine.sqlite3")
    for day, points, minutes in ((2, 61.0, 15), (5, 72.0, 20), (8, 79.0, 25)):
        at = datetime(2026, 3, day, 18).astimezone()
        log.add_take({"score": points}, title="blues", at=at)
        log.tick("thirds", seconds=60 * minutes, at=at)
    plot, lines = shown("progress_plot")
    dots = {}
    for row in lines[1:4]:
        dot = row.index("●")
        dots[dot] = int(row[dot + 1 :])
        assert int(row.split()[0]) == round(dots[dot], -1)
    assert [dots[dot] for dot in sorted(dots)] == column(plot, "progress-takes-0", "y")
    assert sorted(dots) == [match.start() for match in re.finditer("┬", lines[4])]
    assert sorted(dots) == [match.start() for match in re.finditer(r"\d+ Mar", lines[5])]
    assert [int(day) for day in re.findall(r"\d+", lines[5])] == [2, 5, 8]
    minutes = [float(each) for each in re.findall(r"\d+", lines[6])]
    assert minutes == column(plot, "progress-minutes", "top")


def column(plot: Any, source: str, name: str) -> list[float]:
    return list(plot.figure.select_one({"name": source}).data[name])


def test_a_survey(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("tunes").mkdir()
    steps = {"G": "G A B d|e d B A|G4", "D": "D E F A|B A F E|D4", "A": "A B c e|f e c B|A4"}
    for number, key in enumerate("GGGDDA"):
        text = f"X:1\nT:Steps {number}\nM:4/4\nL:1/4\nK:{key}\n{steps[key]}|]\n"
        Path("tunes", f"{number}.abc").write_text(text, encoding="utf-8")
    plot, (title, *rows) = shown("survey_plot")
    bars = survey_bars(tk.survey_folder("tunes"), "keys")
    assert plot.words == bars.words
    assert title == bars.title
    drawn = [re.fullmatch(r"(.*?) (█+) (\d+)", row) for row in rows]
    assert tuple(row[1] for row in drawn if row) == bars.names
    assert tuple(int(row[3]) for row in drawn if row) == bars.parts[0][1]
    assert {len(row[2]) / int(row[3]) for row in drawn if row} == {8.0}


def test_a_handout() -> None:
    sheets, lines = shown("handout")
    title, subtitle, empty, *parts = [line.strip("│").strip() for line in lines[1:-1]]
    assert (title, subtitle, empty) == (sheets.title, sheets.subtitle, "")
    columns = list(zip(*(re.split(r" {3,}", part) for part in parts), strict=True))
    assert [name for names in columns for name in names] == [part.heading for part in sheets.parts]
    assert len({len(line) for line in lines}) == 1


def test_a_scale_in_all_keys() -> None:
    page, lines = shown("scale_reference")
    found = page.parts[0].blocks[1].pictures
    neck = find_instrument("ukulele")
    starts = [match.start() for match in re.finditer(r"\S+:", lines[0])]
    for number, start in enumerate(starts):
        end = starts[number + 1] if number + 1 < len(starts) else None
        part = [line[start:end].rstrip() for line in lines]
        assert part[0] == found[number].caption
        tonic = Note.parse(part[0].partition(":")[0])
        marks = neck_marks(part[1:], "ukulele")
        told = {
            (int(string), int(fret))
            for string, frets in re.findall(r"string (\d+) frets ([\d ]+)", found[number].alt)
            for fret in frets.split()
        }
        assert set(marks) == told
        for (string, fret), text in marks.items():
            sounds = neck.strings[string - 1].open.midi + fret
            assert text == ("●" if sounds % 12 == tonic.pitch_class else "○")
    assert len(starts) == 3
