"""Takes with faults planted in them, and small takes written by hand."""

import io
from dataclasses import replace
from fractions import Fraction

import pytest
from planted import LATE_MS, planted, tally

from theorykit.errors import BadInput
from theorykit.notation.midi_reader import read_midi
from theorykit.practice.line import line_over
from theorykit.review.comparison import compare_reviews
from theorykit.review.solo import check_solo
from theorykit.score.midi import midi_file
from theorykit.score.score import Part, Score, ScoreNote
from theorykit.theory.pitch import Pitch


def check(take):
    return check_solo(take.score, take.form, take.key)


def written(text, *, meter="4/4", tempo=100.0):
    """Notes as ``pitch:beats``, a rest as ``r:beats``."""
    at, notes = Fraction(0), []
    for word in text.split():
        name, _, beats = word.partition(":")
        if name != "r":
            notes.append(ScoreNote(at, Fraction(beats), Pitch.parse(name).midi))
        at += Fraction(beats)
    return Score((Part("line", tuple(notes), "guitar"),), meter=meter, tempo=tempo)


def delayed(score, milliseconds):
    """Each note later by as many milliseconds as the function says for it."""
    part = score.part("line")
    notes = []
    for note in part.notes:
        late = milliseconds(note) * score.tempo / 60_000
        shift = note.shift + Fraction(late).limit_denominator(10_000)
        notes.append(replace(note, shift=shift))
    return score.with_part(replace(part, notes=tuple(notes)))


def rates(counts):
    """Recall and precision of all kinds together."""
    found, missed, wrong = (sum(row[at] for row in counts.values()) for at in range(3))
    return found / (found + missed), found / (found + wrong)


def test_planted_faults_are_found_and_nothing_else():
    recall, precision = rates(tally([planted(seed) for seed in range(12)], check))
    assert recall >= 0.95
    assert precision >= 0.95


@pytest.mark.long
def test_planted_faults_in_five_hundred_takes():
    counts = tally([planted(seed) for seed in range(500)], check)
    recall, precision = rates(counts)
    assert recall >= 0.95
    assert precision >= 0.95
    for kind in ("late", "avoid", "missed change"):
        found, missed, wrong = counts[kind]
        print(f"{kind}: {found} found, {missed} missed, {wrong} where none was planted")
        assert found >= 0.95 * (found + missed), kind
        assert found >= 0.95 * (found + wrong), kind
    print(f"recall {recall:.3f}, precision {precision:.3f}")


def test_a_late_note_by_itself_is_found():
    takes = [planted(seed, faults=("late",), run=1) for seed in range(100, 118)]
    found, missed, wrong = tally(takes, check)["late"]
    assert found >= 0.9 * (found + missed)
    assert found >= 0.9 * (found + wrong)


def test_rows_hold_what_a_view_shows():
    review = check(planted(12))
    rows = review.records()
    assert {"bar", "beat", "name", "role", "severity", "degree", "chord"} <= rows[0].keys()
    told = {kind for row in rows for kind in str(row["finding"]).split(", ") if kind}
    assert told == {finding.kind for finding in review.findings if finding.beat}
    assert all(bool(row["finding"]) == bool(row["suggestion"]) for row in rows)
    late = [row for row in rows if "late" in str(row["finding"])]
    assert late
    assert all(row["milliseconds_late"] > 15 for row in late)


def test_a_count_in_is_found_and_leaves_the_review_as_it_is():
    take = planted(7, faults=())
    review = check(take)
    assert review.offset == take.lead
    moved = take.score.with_part(
        replace(
            take.score.part("line"),
            notes=tuple(
                replace(n, start=n.start - take.lead) for n in take.score.part("line").notes
            ),
        )
    )
    again = check_solo(moved, take.form, take.key)
    assert again.offset == 0
    assert [row["degree"] for row in again.records()] == [row["degree"] for row in review.records()]


@pytest.mark.parametrize(
    "form",
    [
        "12/8 | I7 | IV7 | I7 | V7 | I7 |",
        "2/2 | I | vi | ii7 V7 | I |",
        "7/8 | i | bVII | i | V |",
        "6/8 | I | IV | V | I |",
        "| I | N.C. | V | I |",
        "| I | V7/V | V7 | key: II | I | IV | V7 | I |",
    ],
)
def test_sound_lines_in_any_meter_have_no_findings(form):
    for level in (1, 3, 4):
        line = line_over(form, "D", level=level, instrument="fiddle", seed=level, choruses=2)
        review = check_solo(line.score, form, "D")
        assert (review.findings, review.offset, review.score) == ((), 0, 100)


SCALE = "G4:1 A4:1 B4:1 D5:1 C5:1 E5:1 G5:1 E5:1 F#5:1 A5:1 D5:1 A4:1 B4:4"
CHART = "| I | IV | V | I |"


class TestRoles:
    # Common practice: F natural is a half step below F#, the third of D; over G the fourth, C,
    # stands a half step above the third, B, and passes.
    def test_each_note_has_its_degree_above_the_chord(self):
        review = check_solo(written(SCALE), CHART, "G")
        degrees = [row["degree"] for row in review.records()]
        assert degrees == list("1235135335153")
        assert review.records()[1]["role"] == "colour"
        assert review.strong_share == review.hit_share == 1.0
        assert review.findings == ()

    def test_a_minor_ninth_is_told_with_what_it_rubs_against(self):
        review = check_solo(written(SCALE.replace("G4:1 A4:1", "G4:1 G#4:1")), CHART, "G")
        (finding,) = review.findings
        assert (finding.kind, finding.bar, finding.beat) == ("avoid", 1, 2)
        assert "half step above G, the root" in finding.words
        assert "Play G in its place" in finding.suggestion

    def test_a_change_that_is_not_followed(self):
        # G, B and D over C: only G is in both chords.
        stays = SCALE.replace("C5:1 E5:1 G5:1 E5:1", "B4:1 D5:1 B4:1 G4:1")
        review = check_solo(written(stays), CHART, "G")
        (finding,) = review.findings
        assert (finding.kind, finding.bar, finding.beat) == ("missed change", 2, 1)
        # Its third, E, is a whole step above D; C has no seventh.
        assert "E, its third, a whole step above D" in finding.suggestion

    def test_an_anticipation_belongs_to_the_chord_that_comes(self):
        tied = "G4:1 A4:1 B4:1 D5:1/2 E5:3/2 C5:1 G5:1 E5:1 F#5:1 A5:1 D5:1 A4:1 B4:4"
        review = check_solo(written(tied), CHART, "G")
        row = review.records()[4]
        assert (row["bar"], row["degree"], row["role"]) == (1, "3", "chord tone")
        assert review.hit_share == 1.0


class TestTime:
    def test_late_throughout(self):
        score = delayed(planted(3, faults=()).score, lambda _: LATE_MS)
        review = check_solo(score, planted(3).form, planted(3).key)
        assert [finding.kind for finding in review.findings] == ["behind"]
        assert review.timing.mean == pytest.approx(LATE_MS, abs=4)

    # 150 ms at 160 beats a minute are more than a sixteenth note.
    @pytest.mark.parametrize("drift", [-150, 80, 150])
    def test_a_take_that_drags_or_rushes(self, drift):
        take = planted(3, faults=())
        last = take.score.part("line").notes[-1].start
        score = delayed(
            take.score,
            lambda note: drift * float((note.start - take.lead) / (last - take.lead)),
        )
        review = check_solo(score, take.form, take.key)
        kinds = {finding.kind for finding in review.findings}
        assert kinds == {"drag" if drift > 0 else "rush"}
        assert review.timing.drift == pytest.approx(drift, abs=12)

    def test_swung_eighths_are_told_as_swing_and_not_as_late(self):
        # A triplet shuffle is two to one: the off-beat a sixth of a beat, 100 ms at 100, late.
        line = line_over("12-bar blues", "A", level=2, seed=1, instrument="mandolin")
        off = {Fraction(1, 2): 100.0}
        score = delayed(line.score, lambda note: off.get(note.start % 1, 0.0))
        review = check_solo(score, "12-bar blues", "A")
        assert review.timing.swing == pytest.approx(2, abs=0.05)
        assert {finding.kind for finding in review.findings} == set()

    def test_a_written_take_has_no_time(self):
        assert check_solo(written(SCALE), CHART, "G").timing is None


def test_a_midi_file_is_reviewed_like_the_score_it_holds():
    take = planted(5)
    file = io.BytesIO()
    midi_file(take.score).save(file=file)
    read = check_solo(read_midi(file.getvalue()), take.form, take.key)
    ours = check(take)
    assert [(f.kind, f.bar, f.beat) for f in read.findings] == [
        (f.kind, f.bar, f.beat) for f in ours.findings
    ]


def test_the_report_praises_first_and_has_at_most_three_tasks():
    review = check(planted(12))
    text = review.report
    assert text.index("What went well") < text.index("What to work on")
    _, _, tasks = text.partition("What to work on\n")
    numbered = [row for row in tasks.splitlines() if row[:2] in {"1.", "2.", "3.", "4."}]
    assert len(numbered) == 3
    assert all("bar" in row for row in numbered)


def test_an_idea_that_comes_back_is_found():
    idea = "G4:1/2 B4:1/2 A4:1 D5:2 C5:1/2 E5:1/2 D5:1 G5:2 F#5:4 G5:4"
    (motif,) = check_solo(written(idea), CHART, "G").motifs
    assert (motif.places, motif.notes) == ((0, 4), 4)


def test_a_take_without_faults_is_the_better_one():
    old, new = check(planted(12)), check(planted(12, faults=()))
    assert new.score > old.score
    rows = {row["figure"]: row["change"] for row in compare_reviews(old, new).records()}
    assert rows["score"] == rows["avoid"] == rows["missed change"] == "better"
    assert "missed changes: 1 before, 0 now" in compare_reviews(old, new).text


@pytest.mark.parametrize(
    "options",
    [{"tempo": 5}, {"choruses": 0}, {"choruses": True}, {"count_in": 99}, {"style": "polka"}],
)
def test_bad_options_are_refused(options):
    with pytest.raises(BadInput):
        check_solo(written(SCALE), CHART, "G", **options)


def test_a_take_without_notes_is_refused():
    with pytest.raises(BadInput, match="no notes"):
        check_solo(Score((Part("line", (), "guitar"),)), CHART, "G")
