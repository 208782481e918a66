"""The player in a real Chromium: passages, loops, tempo, what followers are told."""

from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Browser, Page
from sounding import (
    Samples,
    decode,
    equal_tempered_hz,
    event,
    fundamental_hz,
    make_score,
    onsets,
    render,
    sound_page,
    stepped_score,
)

from theorykit.scene.selection import Offer, Selection
from theorykit.scene.table import scene_table

pytestmark = pytest.mark.browser

RATE = 44100


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A blank page with the module as `window.sound`; an uncaught error in it fails the test."""
    with sound_page(browser) as opened:
        yield opened


@pytest.fixture(scope="module")
def blues() -> dict[str, Any]:
    """A table that offers the 12-bar blues, first in its menu."""
    selection = Selection.of(key="A", progression="12-bar blues")
    return scene_table(Offer(progressions=(selection.progression,)).including(selection))


def band(page: Page, table: dict[str, Any]) -> dict[str, Any]:
    """The changes of a table's first progression with a click, as they are played."""
    score: dict[str, Any] = page.evaluate(
        """(table) => sound.withClick(sound.passageOf(sound.bandScore(table,
          { progression: 0, key: 0, step: 0, thirds: true })))""",
        table,
    )
    return score


def passage(page: Page, score: dict[str, Any], *steps: tuple[str, Any]) -> dict[str, Any]:
    """A score put through functions of the module, each with what else it is given."""
    made: dict[str, Any] = page.evaluate(
        """([score, steps]) => steps.reduce((passage, [name, option]) => sound[name](passage, option),
          sound.passageOf(score))""",
        [score, [list(step) for step in steps]],
    )
    return made


def bar_notes(bars: int, *, part: str = "line", beats: float = 4) -> dict[str, Any]:
    """One note and one step a bar; the note's key tells the bar, 40 for the first."""
    events = [event(4 * bar, beats, 40 + bar, part=part) for bar in range(bars)]
    steps = [{"beat": 4 * bar, "index": bar} for bar in range(bars)]
    return make_score(4 * bars, events) | {"steps": steps}


def heard(score: dict[str, Any], part: str) -> list[tuple[float, float, int]]:
    """Beat, length and key of each note of a part."""
    return [(e["beat"], e["beats"], e["midi"]) for e in score["events"] if e["part"] == part]


# Passages


def test_a_note_that_comes_early_goes_with_the_bar_that_it_is_meant_for(page: Page) -> None:
    early = event(3.9, 1, 60) | {"meant": 4}
    score = make_score(8, [event(0, 1, 50), early])
    first, second = (
        passage(page, score, ("cutBars", {"first": bar, "last": bar})) for bar in (0, 1)
    )
    assert heard(first, "line") == [(0, 1, 50)]
    # It can't begin before the loop does, and ends where it did.
    assert heard(second, "line") == [(0, pytest.approx(0.9), 60)]


def test_bars_cut_out_keep_their_notes_steps_and_numbers(page: Page) -> None:
    cut = passage(page, bar_notes(8), ("cutBars", {"first": 4, "last": 7}))
    assert heard(cut, "line") == [(0, 4, 44), (4, 4, 45), (8, 4, 46), (12, 4, 47)]
    assert cut["steps"] == [{"beat": 4 * bar, "index": 4 + bar} for bar in range(4)]
    assert (cut["beats"], cut["bars"], cut["firstBar"]) == (16, [0, 4, 8, 12], 4)


def test_a_cut_shows_the_chord_that_it_begins_in(page: Page) -> None:
    score = bar_notes(4) | {"steps": [{"beat": 0, "index": 0}, {"beat": 8, "index": 1}]}
    cut = passage(page, score, ("cutBars", {"first": 1, "last": 2}))
    assert cut["steps"] == [{"beat": 0, "index": 0}, {"beat": 4, "index": 1}]


def test_a_cut_ends_its_notes_and_takes_up_the_drone_only(page: Page) -> None:
    events = [event(2, 4, 50), event(6, 4, 52), event(0, 16, 45, part="drone")]
    cut = passage(page, make_score(16, events), ("cutBars", {"first": 1, "last": 1}))
    assert heard(cut, "line") == [(2, 2, 52)]
    assert heard(cut, "drone") == [(0, 4, 45)]


@pytest.mark.parametrize(
    ("bars", "rounds", "called"),
    [
        (12, 1, [0, 1, 4, 5, 8, 9]),
        (4, 1, [0, 1]),
        (2, 2, [0, 1]),
        # Bars 1 2, (3 1), 2 3, (1 2), 3 1, (2 3): each bar is called twice before it comes round.
        (3, 4, [0, 1, 4, 5, 8, 9]),
    ],
)
def test_two_bars_are_played_and_two_left(
    page: Page, bars: int, rounds: int, called: list[int]
) -> None:
    score = passage(page, bar_notes(bars), ("withClick", None), ("callAndResponse", None))
    assert score["beats"] == 4 * bars * rounds
    assert heard(score, "line") == [(4 * bar, 4, 40 + bar % bars) for bar in called]
    assert [beat for beat, _, _ in heard(score, "click")] == list(range(4 * bars * rounds))
    assert [step["index"] for step in score["steps"]] == list(range(bars)) * rounds
    assert score["roundBars"] == bars


def test_the_drone_is_silent_in_the_response_and_taken_up_after_it(page: Page) -> None:
    score = make_score(32, [event(0, 32, 45, part="drone")])
    answered = passage(page, score, ("callAndResponse", None))
    assert heard(answered, "drone") == [(0, 8, 45), (16, 8, 45)]


def test_the_click_accents_each_bar_and_bars_may_differ(page: Page) -> None:
    score = make_score(9, [event(0, 1, 60)]) | {"bars": [0, 4, 6]}
    clicks = heard(passage(page, score, ("withClick", None)), "click")
    # General MIDI percussion map: high wood block 76, low 77.
    assert [midi for _, _, midi in clicks] == [76, 77, 77, 77, 76, 77, 76, 77, 77]


def test_a_click_of_the_scores_own_is_kept(page: Page) -> None:
    own = event(2, 1, 76, part="click", voice="woodblock")
    score = passage(page, make_score(4, [own]), ("withClick", None))
    assert heard(score, "click") == [(2, 1, 76)]


# When notes start, in samples


def off_by(samples: Samples, expected: Samples, *, quiet_seconds: float) -> float:
    """How far the onsets lie from where they should, at most, in samples."""
    found = onsets(samples, quiet_frames=int(quiet_seconds * RATE))
    assert len(found) == len(expected)
    return float(np.max(np.abs(np.array(found) - expected)))


@pytest.mark.parametrize("parts", [("click",), ("bass", "comp")])
def test_twenty_choruses_start_every_note_where_its_beat_is(
    page: Page, blues: dict[str, Any], parts: tuple[str, ...]
) -> None:
    """Each note is struck on wood and cut short, so that its first sample can be told."""
    whole = band(page, blues)
    struck = [
        {**note, "voice": "woodblock", "midi": 76, "beats": 0.2, "level": 1}
        for note in whole["events"]
        if note["part"] in parts
    ]
    tempo = 137
    samples = render(page, whole | {"events": struck}, tempo=tempo, passes=20, countInBeats=0)
    beats = sorted({note["beat"] for note in struck})
    assert len(beats) >= 48
    expected = np.array([48 * chorus + beat for chorus in range(20) for beat in beats])
    assert off_by(samples, expected * 60 / tempo * RATE, quiet_seconds=0.05) <= 1


def test_a_ramp_is_faster_by_a_step_each_pass_up_to_its_top(page: Page) -> None:
    score = make_score(4, [event(beat, 0.3, 64) for beat in range(4)])
    samples = render(page, score, tempo=100, passes=4, ramp={"step": 50, "top": 180})
    # Beats of 0.6 s, of 0.4 s, and of a third of a second at 180, which the step would pass.
    lengths = np.repeat([0.6, 0.4, 1 / 3, 1 / 3], 4)
    expected = np.concatenate(([0], np.cumsum(lengths)[:-1])) * RATE
    assert off_by(samples, expected, quiet_seconds=0.03) <= 1


def test_a_ramp_counts_rounds_of_the_chart_and_not_of_call_and_response(page: Page) -> None:
    score = passage(page, bar_notes(2, beats=0.5), ("withClick", None), ("callAndResponse", None))
    samples = render(
        page, score, tempo=120, ramp={"step": 120, "top": 240}, parts={"line": {"muted": True}}
    )
    # Two rounds of eight beats, the second at twice the tempo.
    expected = np.concatenate((np.arange(8) * 0.5, 4 + np.arange(8) * 0.25)) * RATE
    assert off_by(samples, expected, quiet_seconds=0.03) <= 1


def test_half_speed_is_half_as_fast_at_the_same_pitch(page: Page) -> None:
    score = make_score(2, [event(0, 0.9, 57), event(1, 0.9, 57)])
    samples = render(page, score, tempo=60, rate=0.5)
    assert off_by(samples, np.array([0, 2 * RATE]), quiet_seconds=0.03) <= 1
    wanted = equal_tempered_hz(57)
    hz = fundamental_hz(samples[: int(1.5 * RATE)], wanted, RATE)
    assert abs(1200 * np.log2(hz / wanted)) <= 0.5


def test_the_count_in_is_heard_when_the_click_is_muted(page: Page) -> None:
    score = passage(page, make_score(4, [event(0, 0.3, 64)]), ("withClick", None))
    samples = render(page, score, tempo=120, countInBeats=4, parts={"click": {"muted": True}})
    assert (
        off_by(samples, np.array([0, 0.5, 1, 1.5, 2]) * RATE, quiet_seconds=0.03) <= 1
    )  # the fifth is the note


def test_playing_may_begin_in_the_middle(page: Page) -> None:
    score = make_score(8, [event(beat, 0.3, 64) for beat in (0, 4, 6)])
    samples = render(page, score, tempo=120, fromBeat=4, countInBeats=2)
    assert off_by(samples, np.array([0, 0.5, 1, 2]) * RATE, quiet_seconds=0.03) <= 1


# Loops


def legato_line(bars: int) -> dict[str, Any]:
    """Eighth notes without gaps, up and down."""
    midis = [52, 55, 57, 59, 62, 64, 67, 69, 71, 69, 67, 64, 62, 59, 57, 55]
    events = [event(i / 2, 0.5, midis[i % 16]) for i in range(8 * bars)]
    return make_score(4 * bars, events)


@pytest.mark.parametrize("material", ["line", "band"])
@pytest.mark.parametrize("cut", [None, {"first": 4, "last": 7}])
def test_the_seam_of_a_loop_has_no_gap_and_no_click(
    page: Page, blues: dict[str, Any], material: str, cut: dict[str, int] | None
) -> None:
    score = legato_line(12) if material == "line" else band(page, blues)
    looped = passage(page, score, *([("cutBars", cut)] if cut else []))
    # Quiet enough for the ceiling to be a straight line: then a second pass just adds to the first.
    once, twice = (render(page, looped, tempo=96, passes=n, volume=0.3) for n in (1, 2))
    seam = round((16 if cut else 48) * 60 / 96 * RATE)
    added = twice.copy()
    added[: len(once)] -= once
    assert np.flatnonzero(np.abs(added) > 1e-6)[0] == seam
    assert np.max(np.abs(added[seam:] - once)) < 1e-5
    if material == "line":
        assert np.sqrt(np.mean(twice[seam - 441 : seam] ** 2)) > 0.002
    steps = np.abs(np.diff(twice))
    around = slice(seam - 220, seam + 220)
    assert np.max(steps[around]) <= np.max(np.delete(steps, np.arange(len(steps))[around]))


def play(page: Page, score: dict[str, Any], **options: Any) -> None:
    page.evaluate("([score, options]) => loggedPlayer().play(score, options)", [score, options])


def set_score(page: Page, score: dict[str, Any]) -> None:
    page.evaluate("score => player.setScore(score)", score)


def steps_heard(page: Page, count: int) -> list[int]:
    page.wait_for_function("count => log.steps.length >= count", arg=count)
    steps: list[int] = page.evaluate("count => log.steps.slice(0, count)", count)
    return steps


def test_a_loop_is_entered_at_the_bar_line_and_left_at_its_end(page: Page) -> None:
    score = bar_notes(6)
    play(page, score, tempo=600)
    page.wait_for_function("log.steps.length >= 1")
    set_score(page, passage(page, score, ("cutBars", {"first": 3, "last": 4})))
    assert steps_heard(page, 6) == [0, 3, 4, 3, 4, 3]
    page.wait_for_function("log.steps.at(-1) === 4")
    set_score(page, score)
    count = page.evaluate("log.steps.length")
    assert steps_heard(page, count + 3)[count:] == [5, 0, 1]


def test_a_loop_that_has_the_next_bar_goes_on_with_it(page: Page) -> None:
    score = bar_notes(6)
    play(page, score, tempo=600)
    page.wait_for_function("log.steps.length >= 2")
    set_score(page, passage(page, score, ("cutBars", {"first": 1, "last": 3})))
    assert steps_heard(page, 6) == [0, 1, 2, 3, 1, 2]


def test_a_note_of_the_score_that_is_left_ends_with_it(page: Page) -> None:
    score = make_score(16, [event(0, 16, 45, part="drone")]) | {"steps": [{"beat": 0, "index": 0}]}
    play(page, score, tempo=300)
    page.wait_for_function("log.notes.length >= 1")
    set_score(page, make_score(16, [event(8, 1, 64)]) | {"steps": [{"beat": 0, "index": 1}]})
    page.wait_for_function("log.steps.length >= 2 && player.beat > 6")
    # The drone lasts four bars as written; its release takes 40 ms, well within two beats.
    assert page.evaluate("player.activeCount") == 0


def test_whoever_follows_is_told_tempo_next_notes_and_place(page: Page) -> None:
    page.evaluate(
        """() => {
          window.told = { tempos: [], next: [], bars: [], counts: [], shares: [] };
          window.player = new sound.Player({
            context: () => new AudioContext(),
            onTempo: (tempo) => told.tempos.push(tempo),
            onNext: (midis) => told.next.push(midis),
            onCount: (count) => told.counts.push(count),
            onPlace: (bar, share) => {
              if (told.bars.at(-1) !== bar) told.bars.push(bar);
              told.shares.push(share);
            },
          });
        }"""
    )
    score = make_score(8, [event(beat, 1, 60 + beat) for beat in (0, 2, 4)])
    score["events"].append(event(2, 1, 67))
    options = {"tempo": 300, "ramp": {"step": 40, "top": 360}, "countInBeats": 4}
    page.evaluate("([score, options]) => player.play(score, options)", [score, options])
    page.wait_for_function("told.tempos.length >= 3")
    told = page.evaluate("(player.stop(), told)")
    assert told["tempos"] == [300, 340, 360]
    # Before the music its first note is the next; at the end of a pass, the first note again.
    assert told["next"][:6] == [[60], [62, 67], [64], [60], [62, 67], [64]]
    assert told["bars"][:5] == [0, 1, 0, 1, 0]
    counts = [{"bar": 0, "number": number} for number in (1, 2, 3, 4)]
    assert told["counts"] == [*counts, None]
    assert all(0 <= share <= 1 for share in told["shares"])


def test_after_the_last_note_of_a_single_pass_none_is_next(page: Page) -> None:
    page.evaluate(
        """(score) => {
          window.next = [];
          window.player = new sound.Player({
            context: () => new AudioContext(),
            onNext: (midis) => next.push(midis),
          });
          return player.play(score, { tempo: 300, loop: false });
        }""",
        stepped_score(3),
    )
    page.wait_for_function("!player.playing")
    assert page.evaluate("next.filter((midis, i) => i > 0 || midis[0] !== 60)") == [[61], [62], []]


def test_a_ramp_may_be_given_up_and_keeps_the_tempo_reached(page: Page) -> None:
    page.evaluate(
        """(score) => {
          window.tempos = [];
          window.passes = 0;
          window.player = new sound.Player({
            context: () => new AudioContext(),
            onTempo: (tempo) => tempos.push(tempo),
            onStep: (index) => (passes += index === 0),
          });
          return player.play(score, { tempo: 500, ramp: { step: 10, top: 900 } });
        }""",
        stepped_score(4),
    )
    page.wait_for_function("tempos.length === 3")
    page.evaluate("player.setRamp(null)")
    passes = page.evaluate("passes")
    page.wait_for_function("from => passes >= from + 3", arg=passes)
    assert page.evaluate("tempos") == [500, 510, 520]


def test_half_speed_may_be_switched_while_it_plays(page: Page) -> None:
    page.evaluate(
        """() => {
          window.starts = [];
          window.AudioBufferSourceNode = class extends AudioBufferSourceNode {
            start(when) {
              starts.push(when);
              super.start(when);
            }
          };
        }"""
    )
    play(page, stepped_score(8), tempo=300)
    page.wait_for_function("log.steps.length >= 3")
    page.evaluate("player.setRate(0.5)")
    count = page.evaluate("starts.length")
    page.wait_for_function("count => starts.length >= count + 4", arg=count)
    assert np.diff(page.evaluate("count => starts.slice(count)", count)) == pytest.approx(
        0.4, abs=2e-5
    )


# The mix


def render_stereo(page: Page, score: dict[str, Any], **options: Any) -> tuple[Samples, Samples]:
    left, right = page.evaluate(
        """async ([score, options]) => {
          const buffer = await sound.renderScore(score, { ...options, channels: 2 });
          return [0, 1].map((channel) => toBase64(buffer.getChannelData(channel)));
        }""",
        [score, options],
    )
    return decode(left), decode(right)


def test_pan_has_equal_power_and_leaves_the_middle_as_loud_as_mono(page: Page) -> None:
    score = make_score(2, [event(0, 1, 45)])
    plain = render(page, score, volume=0.3)
    for side in render_stereo(page, score, volume=0.3):
        assert np.allclose(side, plain, atol=1e-6)
    left, right = render_stereo(page, score, volume=0.3, parts={"line": {"pan": -1}})
    assert np.max(np.abs(right)) < 1e-6
    # Both channels' power together, all of it on the left: 3 dB more there.
    assert np.allclose(left, plain * np.sqrt(2), atol=1e-6)


def test_parts_are_mixed_one_by_one(page: Page) -> None:
    both = make_score(2, [event(0, 1, 45), event(0, 1, 40, part="bass", voice="bass")])
    line = render(page, make_score(2, both["events"][:1]), volume=0.3)
    mixed = render(page, both, volume=0.3, parts={"bass": {"muted": True}})
    assert np.allclose(mixed, line, atol=1e-6)


# Long runs


def test_a_part_that_is_switched_on_is_taken_up_in_the_middle_of_its_note(page: Page) -> None:
    page.evaluate("() => loggedPlayer()")
    page.evaluate("() => player.setPart('drone', { muted: true })")
    score = make_score(16, [event(0, 16, 45, part="drone"), event(8, 1, 60)])
    page.evaluate("score => player.play(score, { tempo: 60 })", score)
    page.wait_for_function("log.states.includes('playing')")
    assert page.evaluate("player.activeCount") == 0
    page.evaluate("() => player.setPart('drone', { muted: false })")
    assert page.evaluate("player.activeCount") == 1
    page.evaluate("() => player.stop()")


def test_twenty_choruses_live_neither_drift_nor_pile_up(page: Page, blues: dict[str, Any]) -> None:
    """Ten minutes at 96 a minute are twenty choruses; here they pass 25 times as fast."""
    page.evaluate(
        """() => {
          window.starts = new Float64Array(100000);
          window.count = 0;
          window.most = 0;
          window.AudioBufferSourceNode = class extends AudioBufferSourceNode {
            start(when) {
              window.rate = this.context.sampleRate;
              starts[count++] = when;
              super.start(when);
            }
          };
          window.choruses = 0;
          window.player = new sound.Player({
            context: () => new AudioContext(),
            onStep: (index) => (choruses += index === 0),
            onNotes: () => (most = Math.max(most, player.activeCount)),
          });
        }"""
    )
    session = page.context.new_cdp_session(page)

    def heap_megabytes() -> float:
        session.send("HeapProfiler.collectGarbage")
        return float(session.send("Runtime.getHeapUsage")["usedSize"]) / 1e6

    page.evaluate("score => player.play(score, { tempo: 2400 })", band(page, blues))
    page.wait_for_function("choruses >= 2", timeout=60_000)
    before = heap_megabytes()
    page.wait_for_function("choruses >= 21", timeout=120_000)
    after = heap_megabytes()
    page.evaluate("player.stop()")
    times, rate, most = page.evaluate("[[...starts.subarray(0, count)], window.rate, window.most]")
    frames = np.array(times) * rate
    beat = 60 / 2400 * rate
    moved = frames - frames[0]
    assert np.max(np.abs(moved - np.round(moved / beat) * beat)) <= 1 + 1e-6
    assert moved[-1] >= 20 * 48 * beat
    assert most < 100
    assert after - before <= 5
