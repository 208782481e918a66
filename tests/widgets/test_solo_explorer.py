"""What a solo explorer does with files and menus, without a browser."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from theorykit.audio.mix import render
from theorykit.errors import BadInput, TuneError
from theorykit.log.practice_log import PracticeLog
from theorykit.practice.line import line_over
from theorykit.review.solo import check_solo
from theorykit.score.midi import write_midi
from theorykit.score.score import Score
from theorykit.widgets.solo_explorer import SoloExplorer
from theorykit.widgets.study import Study

FORM = "I-IV-V vamp"


def line(level: int = 1) -> Score:
    return line_over(FORM, "G", level=level, instrument="mandolin", seed=3).score


def explorer(take: Any = None, **options: Any) -> SoloExplorer:
    return SoloExplorer(take, FORM, key="G", **options)


def drop(solo: SoloExplorer, name: str, content: bytes) -> str:
    """Drop a file as a browser does; gives what is said of it."""
    upload, message = solo.children[0].children[0], solo.children[2]
    file = {"name": name, "type": "", "size": len(content), "content": memoryview(content)}
    upload.value = ({**file, "last_modified": datetime.now(UTC)},)
    return str(message.value)


def test_a_path_and_a_score_are_taken(tmp_path: Path) -> None:
    write_midi(line(), tmp_path / "take.mid")
    from_file, from_score = explorer(tmp_path / "take.mid"), explorer(line())
    assert from_file.review is not None
    assert from_score.review is not None
    assert from_file.scene["title"] == "take.mid"
    assert from_file.review.score == from_score.review.score


def test_what_is_no_take_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="no take"):
        explorer(7)
    with pytest.raises(TuneError, match="there is no file"):
        explorer(tmp_path / "nowhere.mid")
    with pytest.raises(BadInput, match="earlier take"):
        explorer(line(), earlier=[line()])
    with pytest.raises(BadInput, match="tempo"):
        explorer(line(), tempo=5)


def test_a_bad_file_is_told_and_the_last_good_view_stays(tmp_path: Path) -> None:
    solo = explorer(line())
    before = solo.scene
    said = drop(solo, "<b>.mid", b"MThd nothing")
    assert 'role="alert"' in said
    # A file's name is not to be trusted.
    assert "&lt;b&gt;.mid" in said
    assert solo.scene == before
    write_midi(line(2), tmp_path / "other.mid")
    assert drop(solo, "other.mid", (tmp_path / "other.mid").read_bytes()) == ""
    assert solo.scene["title"] == "other.mid"


def test_a_recording_is_heard(tmp_path: Path) -> None:
    take = line()
    path = tmp_path / "take.flac"
    render(take, sample_rate=22050).write(path)
    solo = explorer(take, tempo=100)
    said = drop(solo, "take.flac", path.read_bytes())
    assert f"{len(take.part('line').notes)} notes were heard" in said
    assert solo.review is not None
    assert [round(note.note.midi) for note in solo.review.take.notes] == [
        note.midi for note in take.part("line").notes
    ]
    assert 'role="alert"' in drop(solo, "take.flac", path.read_bytes()[:60])
    write_midi(take, tmp_path / "take.mid")
    # What was heard of one take is not said of the next.
    assert drop(solo, "take.mid", (tmp_path / "take.mid").read_bytes()) == ""


def test_a_take_that_is_replaced_is_compared_with(tmp_path: Path) -> None:
    write_midi(line(2), tmp_path / "other.mid")
    first = check_solo(line(), FORM, "G")
    solo = explorer(line(), earlier=first)
    assert solo.scene["compared"]["header"] == ["", "before", "now", "since the last"]
    drop(solo, "other.mid", (tmp_path / "other.mid").read_bytes())
    assert solo.scene["compared"]["header"][1:3] == ["take 1", "take 2"]
    # In another key it is another solo.
    solo.study.key = "C"
    assert solo.scene["compared"] is None
    assert "in C major" in solo.scene["heading"]


def test_a_take_of_the_log_is_compared_with(tmp_path: Path) -> None:
    log = PracticeLog(tmp_path / "log.sqlite3")
    check_solo(line(), FORM, "G").keep(log, title="vamp")
    kept = [{**row["review"], "score": 60.0} for row in log.records("takes")]
    compared = explorer(line(), earlier=kept).scene["compared"]
    assert compared["rows"] == [["Points of 100", "60", "100", "better"]]
    # Over other chords it was another solo.
    other = explorer(line(), earlier=kept)
    other.study.key = "C"
    assert other.scene["compared"] is None


def test_menus_check_the_take_again() -> None:
    solo = explorer(line(), instrument="mandolin")
    assert solo.scene["voice"] == "mandolin"
    solo.study.instrument = "fiddle"
    assert solo.scene["voice"] == "fiddle"
    solo.study.progression = "| I | I | I | I |"
    assert [bar[0]["chord"] for bar in solo.scene["chart"]] == ["G"] * 4


def test_the_band_swings_with_the_player_until_one_is_chosen() -> None:
    eighths = line_over("12-bar blues", "A", level=2, instrument="mandolin", seed=3).score
    part = eighths.part("line")
    swung = [
        replace(note, shift=Fraction(1, 6) if note.start.denominator == 2 else Fraction(1, 500))
        for note in part.notes
    ]
    take = eighths.with_part(replace(part, notes=tuple(swung)))
    solo = SoloExplorer(take, "12-bar blues", key="A")
    assert solo.review is not None
    assert solo.review.timing is not None
    # A sixth of a quarter late is the last of a triplet: two to one.
    assert solo.review.timing.swing == pytest.approx(2.0, abs=0.1)
    assert solo.study.feel == solo.scene["band"]["feel"] == "shuffle"
    assert SoloExplorer(take, "12-bar blues", key="A", feel="rock").scene["band"]["feel"] == "rock"
    solo.study.feel = "bluegrass"
    solo.study.key = "A"
    assert solo.scene["band"]["feel"] == "bluegrass"


def test_a_study_is_shared() -> None:
    study = Study(key="G", progression=FORM)
    solo = SoloExplorer(line(), study=study, instrument="banjo")
    assert study.instrument == "banjo"
    assert solo.review is not None
    assert solo.review.score == check_solo(line(), FORM, "G").score


def test_without_a_take_a_page_says_so() -> None:
    bundle = explorer()._repr_mimebundle_()
    assert "No take was chosen" in bundle["text/html"]
    assert explorer().scene == {}
