"""A folder is surveyed whole, whoever does the work and whatever stands in it."""

from __future__ import annotations

import csv
import io
import json
import multiprocessing
import os
import shutil
import signal
from collections.abc import Iterator
from pathlib import Path

import music21
import pytest
from distributed import Client, LocalCluster

from theorykit.errors import BadInput
from theorykit.notation.musicxml import musicxml_text
from theorykit.score.midi import write_midi
from theorykit.survey import survey as module
from theorykit.survey.survey import Survey, survey_folder
from theorykit.tune.reading import read_tune

CORPUS = Path(music21.__file__).parent / "corpus"

GOOD = "X:{number}\nT:{title}\nM:4/4\nL:1/4\nK:G\nG A B d|e d B A|G4|]\n"
STEPS = GOOD.format(number=1, title="Steps")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder as teachers have them: a book, files of each kind, and what is none."""
    tunes = tmp_path / "tunes"
    (tunes / "inner").mkdir(parents=True)
    (tunes / "inner" / "steps.abc").write_text(STEPS)
    book = GOOD.format(number=7, title="Seventh") + "\n" + STEPS + "\nX:9\nT:Broken\nK:Q\nG|\n"
    (tunes / "book.abc").write_text(book)
    score = read_tune(STEPS.encode(), repeats=False)
    (tunes / "steps.musicxml").write_text(musicxml_text(score))
    write_midi(score, tunes / "steps.mid")
    (tunes / "not.xml").write_text("<html><body>No tune</body></html>")
    (tunes / "broken.mid").write_bytes(b"MThd broken")
    (tunes / "empty.abc").touch()
    (tunes / "notes.txt").write_text("X:1\nK:C\nC|\n")
    (tunes / "._steps.abc").write_bytes(b"\0\5\26\7")
    return tunes


def test_every_tune_has_its_row(folder: Path) -> None:
    rows = survey_folder(folder, jobs=1).rows
    assert [(row["file"], row["number"], row.get("error")) for row in rows] == [
        ("book.abc", 7, None),
        ("book.abc", 1, None),
        ("book.abc", 9, rows[2]["error"]),
        ("broken.mid", None, rows[3]["error"]),
        ("empty.abc", None, "has no tune: a tune begins with a line X:"),
        ("not.xml", None, "is not MusicXML"),
        ("steps.mid", None, None),
        ("steps.musicxml", None, None),
        ("inner/steps.abc", 1, None),
    ]
    # The broken key stands in the book's 17th line: two tunes of six lines, two empty, X:, T:, K:.
    assert str(rows[2]["error"]).startswith("line 17: ")
    assert rows[2]["title"] == "Broken"
    assert rows[3]["error"]


def test_one_tune_in_three_kinds_of_file_says_the_same(folder: Path) -> None:
    rows = {row["file"]: row for row in survey_folder(folder, jobs=1).rows}
    for name in ("steps.mid", "steps.musicxml"):
        for field in ("scale", "scales", "notes", "beats", "lowest", "highest", "fits", "key"):
            assert rows[name][field] == rows["inner/steps.abc"][field], (name, field)


def test_a_single_file_can_be_surveyed(folder: Path) -> None:
    assert [row["title"] for row in survey_folder(folder / "inner" / "steps.abc").rows] == ["Steps"]


def test_progress_is_told_to_the_end(folder: Path) -> None:
    told: list[tuple[int, int]] = []
    survey_folder(folder, jobs=1, report=lambda done, of: told.append((done, of)))
    assert told[0] == (1, 9)  # nothing is to be done for the empty file
    assert told[-1] == (9, 9)
    assert told == sorted(told)


def counted(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """How many tunes each later batch has."""
    sizes: list[int] = []
    surveyed = module.surveyed

    def watched(batch: list[object], *more: object) -> list[dict[str, object]]:
        sizes.append(len(batch))
        return surveyed(batch, *more)  # type: ignore[arg-type]

    monkeypatch.setattr(module, "surveyed", watched)
    return sizes


def test_a_second_survey_does_only_what_is_new(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    journal = tmp_path / "tunes.journal"
    sizes = counted(monkeypatch)
    first = survey_folder(folder, jobs=1, journal=journal)
    # Nine, less one that has no tune and one that is there twice.
    assert sum(sizes) == 7
    sizes.clear()
    assert survey_folder(folder, jobs=1, journal=journal) == first
    assert sizes == []
    (folder / "inner" / "steps.abc").rename(folder / "renamed.abc")
    (folder / "new.abc").write_text(GOOD.format(number=1, title="New"))
    again = survey_folder(folder, jobs=1, journal=journal)
    assert sizes == [1]
    assert {row["file"] for row in again.rows} >= {"renamed.abc", "new.abc"}
    sizes.clear()
    survey_folder(folder, jobs=1, journal=journal, instruments=["mandolin", "guitar"])
    assert sum(sizes) == 8  # other instruments, other rows


def test_a_journal_that_was_cut_off_goes_on(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    journal = tmp_path / "tunes.journal"
    first = survey_folder(folder, jobs=1, journal=journal)
    journal.write_bytes(journal.read_bytes()[:-20])
    sizes = counted(monkeypatch)
    assert survey_folder(folder, jobs=1, journal=journal) == first
    assert sizes == [1]
    sizes.clear()
    assert survey_folder(folder, jobs=1, journal=journal) == first
    assert sizes == []


def test_a_survey_that_was_stopped_goes_on(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    journal = tmp_path / "tunes.journal"
    monkeypatch.setattr(module, "BATCH_TUNES", 1)
    whole = survey_folder(folder, jobs=1)

    def stop(done: int, of: int) -> None:
        if done >= 5:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        survey_folder(folder, jobs=1, journal=journal, report=stop)
    kept = len(journal.read_text().splitlines()) - 1
    assert 0 < kept < 7
    sizes = counted(monkeypatch)
    assert survey_folder(folder, jobs=1, journal=journal) == whole
    assert sum(sizes) == 7 - kept


@pytest.mark.parametrize("content", ["My diary\n", '{"journal": "something else"}\n'])
def test_another_file_is_no_journal_and_stays_as_it_is(
    folder: Path, tmp_path: Path, content: str
) -> None:
    journal = tmp_path / "diary"
    journal.write_text(content)
    with pytest.raises(BadInput, match="not a journal"):
        survey_folder(folder, jobs=1, journal=journal)
    assert journal.read_text() == content


def test_a_file_that_changes_meanwhile_is_told_and_tried_again(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    journal = tmp_path / "tunes.journal"
    monkeypatch.setattr(module, "BATCH_TUNES", 1)

    def remove(done: int, of: int) -> None:
        (folder / "steps.musicxml").unlink(missing_ok=True)

    rows = survey_folder(folder, jobs=1, journal=journal, report=remove).rows
    (row,) = [row for row in rows if row["file"] == "steps.musicxml"]
    assert row["error"] == "has changed while the survey ran"
    assert "changed" not in journal.read_text()


@pytest.mark.parametrize(
    ("wrong", "kind"),
    [
        ({"folder": "nowhere"}, "tunes"),
        ({"jobs": 0}, "jobs"),
        ({"instruments": ["mandolinn"]}, "instrument"),
        ({"instruments": ["lap steel"]}, "instrument"),
        ({"journal": "nowhere/x.journal"}, "journal"),
    ],
)
def test_what_cannot_be_used_is_one_message(
    folder: Path, wrong: dict[str, object], kind: str
) -> None:
    with pytest.raises(BadInput) as refused:
        survey_folder(**{"folder": folder, **wrong})  # type: ignore[arg-type]
    assert refused.value.kind == kind
    assert "\n" not in str(refused.value)


def test_the_table_is_read_by_another_program(folder: Path, tmp_path: Path) -> None:
    (folder / "=odd.abc").write_text(GOOD.format(number=1, title="-Reel; \"odd\", 'so'"))
    found = survey_folder(folder, jobs=1, instruments=["mandolin", "guitar"])
    text = found.write_csv(tmp_path / "tunes.csv").read_bytes().decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert len(rows) == len(found.rows) == 10
    by_file = {row["file"]: row for row in rows}
    odd = by_file["'=odd.abc"]
    assert odd["title"] == "'-Reel; \"odd\", 'so'"
    assert (odd["scale"], odd["scale_time"]) == ("G major pentatonic", "1.0")
    assert (odd["mandolin, first position"], odd["guitar, first position"]) == (
        "yes",
        "an octave lower",
    )
    assert by_file["not.xml"]["error"] == "is not MusicXML"


def test_tables_over_all_tunes_counted_by_hand(tmp_path: Path) -> None:
    head = "M:4/4\nL:1/4\n"
    (tmp_path / "book.abc").write_text(
        f'X:1\nT:A\n{head}K:G\n"G"G A B c|"D"d e ^f g|"G"g4|]\n\n'
        f'X:2\nT:B\n{head}K:D\n"D"d e f g|"A"a b ^c\' d\'|"D"d\'4|]\n\n'
        f"X:3\nT:C\n{head}K:G\nG A B d|d ^c/ d/ e d|G A B e|d B G2|]\n\n"
        f"X:4\nT:D\nK:Q\nG|]\n"
    )
    found = survey_folder(tmp_path, jobs=1, instruments=["mandolin"])
    tables = found.summary()
    assert tables["tunes"] == [{"tunes": 4, "read": 3, "not read": 1}]
    assert tables["keys"] == [{"key": "G major", "tunes": 2}, {"key": "D major", "tunes": 1}]
    assert tables["meters"] == [{"meter": "4/4", "tunes": 3}]
    assert tables["instruments"] == [
        {
            "instrument": "mandolin",
            "first position": 2,
            "in another octave": 1,
            "elsewhere on the neck": 0,
            "tunes": 3,
        }
    ]
    assert {row["chords"]: (row["tunes"], row["times"]) for row in tables["progressions"]} == {
        "I V": (2, 2),
        "V I": (2, 2),
        "I V I": (2, 2),
    }
    assert tables["outside"] == [{"degree": "#4", "tunes": 1, "times": 1, "neighbour": 1}]
    assert tables["errors"][0]["tunes"] == 1
    assert [row["title"] for row in found.fitting("mandolin")] == ["A", "C"]
    with pytest.raises(BadInput, match="not in this survey"):
        found.fitting("guitar")


@pytest.fixture(scope="module")
def many(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Some hundred tunes of a printed collection, in files and books, and one that is broken."""
    folder = tmp_path_factory.mktemp("many")
    for path in sorted((CORPUS / "ryansMammoth").glob("*.abc"))[:160]:
        shutil.copy(path, folder)
    for path in sorted((CORPUS / "oneills1850").glob("*.abc"))[:1]:
        shutil.copy(path, folder)
    (folder / "broken.mxl").write_bytes(b"PK\3\4 broken")
    return folder


@pytest.fixture(scope="module")
def alone(many: Path) -> Survey:
    """What one process finds."""
    return survey_folder(many, jobs=1)


class KillOnce:
    """Kills a worker when a fifth of the tunes is done, and remembers when that was."""

    def __init__(self, pids: list[int]) -> None:
        self.pids = pids
        self.killed_at: tuple[int, int] | None = None

    def __call__(self, done: int, of: int) -> None:
        if self.killed_at is None and of // 5 <= done < of:
            pids = self.pids or [child.pid for child in multiprocessing.active_children()]
            os.kill(pids[0] or 0, signal.SIGKILL)
            self.killed_at = (done, of)


def test_two_processes_find_the_same_though_one_is_killed(
    many: Path, alone: Survey, tmp_path: Path
) -> None:
    assert len(alone.rows) > module.FEWEST_FOR_PROCESSES
    kill = KillOnce([])
    journal = tmp_path / "tunes.journal"
    found = survey_folder(many, jobs=2, report=kill, journal=journal)
    assert kill.killed_at is not None
    assert found == alone
    assert sum("broken" in str(row["file"]) for row in found.rows) == 1
    keys = [json.loads(line)["key"] for line in journal.read_text().splitlines()[1:]]
    assert len(keys) == len(set(keys))


@pytest.fixture(scope="module")
def cluster() -> Iterator[Client]:
    """A cluster on this machine, whose workers are processes of their own."""
    with (
        LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
        ) as local,
        Client(local) as client,
    ):
        yield client


def test_a_cluster_finds_the_same(many: Path, alone: Survey, cluster: Client) -> None:
    pids = set(cluster.run(os.getpid).values())
    assert len(pids - {os.getpid()}) == 2
    found = survey_folder(many, executor=cluster.get_executor())
    assert found == alone


def test_a_worker_of_a_cluster_is_killed_and_nothing_is_lost(
    many: Path, alone: Survey, cluster: Client
) -> None:
    kill = KillOnce(list(cluster.run(os.getpid).values()))
    found = survey_folder(many, executor=cluster.get_executor(), report=kill)
    assert kill.killed_at is not None
    assert found == alone
