"""Reviews kept in a practice log, and what is told of many takes."""

from datetime import UTC, datetime, timedelta

import pytest
from planted import planted

from theorykit.errors import BadInput
from theorykit.log.practice_log import PracticeLog
from theorykit.review.comparison import compare_reviews
from theorykit.review.kept import kept_reviews, review_trend
from theorykit.review.solo import check_solo

DAY = datetime(2026, 3, 1, 18, tzinfo=UTC)


def check(take):
    return check_solo(take.score, take.form, take.key)


@pytest.fixture
def log(tmp_path):
    return PracticeLog(tmp_path / "mine.sqlite3")


def test_two_takes_from_the_log_compare_as_the_reviews_did(log):
    old, new = check(planted(12)), check(planted(12, faults=()))
    number = old.keep(log, at=DAY)
    new.keep(log, at=DAY + timedelta(days=1))
    trend = review_trend(log)
    assert trend.comparison().records() == compare_reviews(old, new).records()
    assert trend.comparison().text == compare_reviews(old, new).text
    first = trend.takes[0]
    assert (first.number, first.at, first.score) == (number, DAY, old.score)
    assert list(first.findings) == old.finding_records()
    assert trend.title.endswith(f"in {planted(12).key} major")


def test_a_trend_is_told_over_many_takes(log):
    bad, good = check(planted(12)), check(planted(12, faults=()))
    for day, review in enumerate((bad, bad, good, good)):
        review.keep(log, title="my solo", at=DAY + timedelta(days=day))
    good.keep(log, title="another")
    trend = review_trend(log, "my solo")
    assert len(trend.takes) == 4
    assert trend.gain == good.score - bad.score > 0
    assert f"4 takes, from {bad.score} to {good.score} of 100" in trend.text
    assert f"{good.score - bad.score} points above" in trend.text
    assert [row["take"] for row in trend.records()] == [1, 2, 3, 4]
    assert len(kept_reviews(log)) == 5
    assert len(review_trend(log, "my solo", since=DAY + timedelta(days=2)).takes) == 2


def test_takes_without_figures_are_passed_over(log):
    log.add_take({"mood": "tired"}, title="my solo")
    assert kept_reviews(log) == ()
    with pytest.raises(BadInput, match="no take of it was kept"):
        review_trend(log, "my solo")


def test_a_take_that_was_not_kept_is_refused(log):
    check(planted(3)).keep(log)
    with pytest.raises(BadInput, match="was not kept"):
        review_trend(log).comparison()
