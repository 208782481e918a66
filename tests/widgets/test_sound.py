"""The browser's sound, measured in a real Chromium: pitch, onsets, loop seams, level, what followers hear."""

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

pytestmark = pytest.mark.browser

SAMPLE_RATES = (44100, 48000)


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A blank page with the module as `window.sound`; an uncaught error in it fails the test."""
    with sound_page(browser) as opened:
        yield opened


def pluck(
    page: Page, *, midi: int, voice: str, sample_rate: int, seconds: float = 1.5, seed: int = 1
) -> Samples:
    return decode(
        page.evaluate(
            """([midi, voice, sampleRate, seconds, seed]) => {
              const hz = sound.midiToHz(midi);
              return toBase64(sound.pluckSamples({ hz, seconds, sampleRate, voice: sound.VOICES[voice], seed }));
            }""",
            [midi, voice, sample_rate, seconds, seed],
        )
    )


def cents_off(page: Page, *, midi: int, voice: str, sample_rate: int) -> float:
    wanted = equal_tempered_hz(midi)
    samples = pluck(page, midi=midi, voice=voice, sample_rate=sample_rate)
    return float(1200 * np.log2(fundamental_hz(samples, wanted, sample_rate) / wanted))


def bass_and_comp() -> dict[str, Any]:
    """Two bars: root and fifth on 1 and 3, short chords on 2 and 4, as a mandolin plays them."""
    bass = [
        event(beat, 1, midi, part="bass", voice="bass")
        for beat, midi in ((0, 31), (2, 38), (4, 31), (6, 38))
    ]
    comp = [
        event(beat, 0.3, midi, part="comp", voice="mandolin")
        for beat in (1, 3, 5, 7)
        for midi in (55, 62, 71, 79)
    ]
    return make_score(8, bass + comp)


# Pitch and shape of single notes


@pytest.mark.parametrize("sample_rate", SAMPLE_RATES)
def test_guitar_is_in_tune_on_every_note(page: Page, sample_rate: int) -> None:
    errors = {
        midi: cents_off(page, midi=midi, voice="guitar", sample_rate=sample_rate)
        for midi in range(28, 101)
    }
    assert {midi: cents for midi, cents in errors.items() if abs(cents) > 0.5} == {}


@pytest.mark.parametrize("sample_rate", SAMPLE_RATES)
@pytest.mark.parametrize(
    ("voice", "midis"),
    [
        ("mandolin", (55, 62, 69, 76, 88, 100)),
        ("banjo", (48, 50, 59, 67, 83, 100)),
        ("bass", (28, 33, 38, 43, 60)),
    ],
)
def test_other_voices_are_in_tune(
    page: Page, voice: str, midis: tuple[int, ...], sample_rate: int
) -> None:
    errors = {
        midi: cents_off(page, midi=midi, voice=voice, sample_rate=sample_rate) for midi in midis
    }
    assert {midi: cents for midi, cents in errors.items() if abs(cents) > 0.5} == {}


@pytest.mark.parametrize("voice", ["guitar", "mandolin", "banjo", "bass"])
@pytest.mark.parametrize("midi", [40, 64, 88])
def test_notes_start_at_once_equally_loud_and_end_in_silence(
    page: Page, voice: str, midi: int
) -> None:
    samples = pluck(page, midi=midi, voice=voice, sample_rate=44100)
    assert abs(samples[0]) > 0.3 * np.max(np.abs(samples))
    assert np.sqrt(np.mean(samples[:8820] ** 2)) == pytest.approx(0.125, rel=1e-4)
    assert samples[-1] == 0
    assert abs(np.mean(samples)) < 1e-4


def test_a_seed_gives_the_same_note_again_and_another_seed_another(page: Page) -> None:
    first, again = (
        pluck(page, midi=52, voice="guitar", sample_rate=44100, seed=7) for _ in range(2)
    )
    other = pluck(page, midi=52, voice="guitar", sample_rate=44100, seed=8)
    assert np.array_equal(first, again)
    assert not np.allclose(first, other)


def test_accented_click_is_the_higher_block(page: Page) -> None:
    pitches = []
    for accent in ("true", "false"):
        samples = decode(
            page.evaluate(
                f"toBase64(sound.clickSamples({{ accent: {accent}, sampleRate: 44100 }}))"
            )
        )
        assert abs(samples[0]) > 0.3 * np.max(np.abs(samples))
        assert samples[-1] == 0
        pitches.append(np.argmax(np.abs(np.fft.rfft(samples, 44100))))
    assert pitches == [pytest.approx(1480, abs=20), pytest.approx(1110, abs=20)]


def test_bank_keeps_notes_but_not_without_bound(page: Page) -> None:
    result = page.evaluate(
        """() => {
          const bank = new sound.SampleBank(new OfflineAudioContext(1, 1, 44100));
          const same = bank.note("guitar", 60, 1.1) === bank.note("guitar", 60, 1.9);
          for (let midi = 28; midi <= 100; midi++) {
            for (const voice of ["guitar", "mandolin", "banjo", "bass"]) bank.note(voice, midi, 0.2);
          }
          return { same, size: bank.size, long: bank.note("guitar", 40, 1).duration };
        }"""
    )
    assert result == {"same": True, "size": 256, "long": 1}


# Scores, rendered offline by the code that plays them


@pytest.mark.parametrize("sample_rate", SAMPLE_RATES)
@pytest.mark.parametrize("tempo", [61, 96, 137])
def test_every_onset_is_where_the_beat_is(page: Page, tempo: float, sample_rate: int) -> None:
    midis = range(40, 89, 3)
    score = make_score(
        20, [event(1.25 * i if i < 9 else i + 3, 0.4, midi) for i, midi in enumerate(midis)]
    )
    beats = [-4, -3, -2, -1, *(item["beat"] for item in score["events"])]
    samples = render(page, score, tempo=tempo, countInBeats=4, sampleRate=sample_rate)
    expected = [(4 + beat) * 60 / tempo * sample_rate for beat in beats]
    found = onsets(samples, quiet_frames=int(0.03 * sample_rate))
    assert len(found) == len(expected)
    assert np.max(np.abs(np.array(found) - np.array(expected))) <= 1


def test_passes_do_not_drift(page: Page) -> None:
    samples = render(page, make_score(1, [event(0, 0.3, 64)]), tempo=137, passes=60)
    expected = np.arange(60) * 60 / 137 * 44100
    assert np.max(np.abs(np.array(onsets(samples, quiet_frames=1000)) - expected)) <= 1


def test_loop_seam_has_no_gap_and_no_jump(page: Page) -> None:
    score = page.evaluate(
        "sound.scaleRun([52, 55, 57, 59, 62, 64, 67, 69, 71, 74, 76, 79, 76, 74, 71, 67])"
    )
    once, twice = (render(page, score, tempo=96, passes=passes) for passes in (1, 2))
    seam = 5 * 44100  # 8 beats at 96 a minute
    # What the second pass adds begins exactly at the seam and is the first pass again.
    added = twice.copy()
    added[: len(once)] -= once
    assert np.flatnonzero(np.abs(added) > 1e-6)[0] == seam
    assert np.max(np.abs(added[seam:] - once)) < 1e-5
    # The last note sounds up to the seam; the step there is no larger than at other notes.
    assert np.sqrt(np.mean(twice[seam - 441 : seam] ** 2)) > 0.005
    steps = np.abs(np.diff(twice))
    around = slice(seam - 220, seam + 220)
    assert np.max(steps[around]) <= np.max(np.delete(steps, np.arange(len(steps))[around]))


def test_level_is_calm_and_leaves_headroom(page: Page) -> None:
    samples = render(page, bass_and_comp(), tempo=100, passes=4)
    rms_db = 20 * np.log10(np.sqrt(np.mean(samples**2)))
    assert 20 * np.log10(np.max(np.abs(samples))) <= -1
    assert -26 <= rms_db <= -12


def test_ceiling_holds_for_a_dense_mix_at_full_volume(page: Page) -> None:
    crowd = [
        event(0, 2, midi, part=part, voice=voice)
        for part, voice in (
            ("bass", "bass"),
            ("comp", "mandolin"),
            ("line", "guitar"),
            ("drone", "banjo"),
        )
        for midi in (40, 47, 52, 55, 59, 64)
    ]
    samples = render(page, make_score(4, crowd), volume=1)
    assert 20 * np.log10(np.max(np.abs(samples))) <= -1


def test_a_muted_part_is_silent_and_a_gain_scales(page: Page) -> None:
    score = make_score(2, [event(0, 1, 45)])
    plain = render(page, score)
    assert np.max(np.abs(plain)) > 0.05
    assert np.max(np.abs(render(page, score, parts={"line": {"muted": True}}))) == 0
    assert np.allclose(render(page, score, parts={"line": {"gain": 0.5}}), plain / 2, atol=1e-6)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"voice": "kazoo"}, 'unknown voice "kazoo"; known are guitar'),
        ({"part": "solo"}, 'unknown part "solo"; known are bass'),
        ({"beat": 2}, "beat 2, outside its score of 2 beats"),
        ({"midi": 130}, "key 130 cannot be played"),
    ],
)
def test_a_score_that_cannot_be_played_says_why(
    page: Page, change: dict[str, Any], words: str
) -> None:
    score = make_score(2, [event(0, 1, 60) | change])
    message = page.evaluate(
        "score => loggedPlayer().play(score).catch((error) => error.message)", score
    )
    assert words in message
    assert page.evaluate("player.playing") is False


# The live player


def test_nothing_is_made_before_the_press(page: Page) -> None:
    made = page.evaluate(
        """async (score) => {
          let made = 0;
          loggedPlayer(() => (made++, new AudioContext()));
          const counts = [made];
          await player.play(score);
          await player.play(score);
          counts.push(made);
          return counts;
        }""",
        stepped_score(4),
    )
    assert made == [0, 1]


def test_count_in_then_steps_and_notes_in_order(page: Page) -> None:
    score = make_score(2, [event(0, 0.9, 67), event(0, 0.9, 48, part="comp"), event(1, 0.9, 69)])
    score["steps"] = [{"beat": 0, "index": 0}, {"beat": 1, "index": 1}]
    score["events"].append(event(0, 1, 76, part="click", voice="woodblock"))
    page.evaluate(
        "score => loggedPlayer().play(score, { tempo: 200, countInBeats: 2, loop: false })", score
    )
    assert page.evaluate("player.beat") < 0
    page.wait_for_function("log.states.at(-1) === 'stopped'")
    log = page.evaluate("log")
    assert log["states"] == ["counting", "playing", "stopped"]
    assert log["steps"] == [0, 1]
    sounding = [notes for notes in log["notes"] if notes]
    assert sounding == [
        [{"midi": 48, "part": "comp"}, {"midi": 67, "part": "line"}],
        [{"midi": 69, "part": "line"}],
    ]
    assert page.evaluate("player.beat") is None


def test_tempo_change_keeps_the_position(page: Page) -> None:
    page.evaluate("score => loggedPlayer().play(score, { tempo: 150 })", stepped_score(8))
    page.evaluate(
        """() => {
          window.heads = [];
          const read = () => {
            if (!player.playing) return;
            heads.push([performance.now() / 1000, player.beat]);
            requestAnimationFrame(read);
          };
          read();
        }"""
    )
    page.wait_for_function("log.steps.length >= 4")
    before, after = page.evaluate("[player.beat, (player.setTempo(240), player.beat)]")
    assert 0 <= after - before < 0.05
    page.wait_for_function("log.steps.length >= 12")
    page.evaluate("player.setTempo(100)")
    page.wait_for_function("log.steps.length >= 16")
    page.evaluate("player.stop()")
    assert page.evaluate("log.steps.every((index, i) => index === i % 8)")
    heads = np.array(page.evaluate("heads"))
    moved = np.mod(np.diff(heads[:, 1]), 8)
    # Never back (which would look like almost 8 beats), never faster than the fastest tempo.
    assert np.all(moved <= np.diff(heads[:, 0]) * 240 / 60 + 0.1)


def test_tempo_changes_neither_lose_nor_double_a_note(page: Page) -> None:
    page.evaluate(
        """() => {
          window.starts = new Map();
          window.AudioBufferSourceNode = class extends AudioBufferSourceNode {
            start(when) {
              starts.set(this, when);
              super.start(when);
            }
            stop(when) {
              const takenBack = when === undefined && this.context.currentTime < starts.get(this);
              if (takenBack) starts.delete(this);
              super.stop(...(when === undefined ? [] : [when]));
            }
          };
        }"""
    )
    page.evaluate("score => loggedPlayer().play(score, { tempo: 120 })", stepped_score(8))
    # Just before a note, when it has been handed in already: it must be taken back.
    for count, tempo in ((3, 200), (5, 120), (7, 199), (9, 121), (10, 180)):
        page.wait_for_function(
            """([count, tempo]) => {
              const share = player.beat % 1;
              if (log.steps.length < count || share < 0.75 || share > 0.9) return false;
              player.setTempo(tempo + 20);
              player.setTempo(tempo);
              return true;
            }""",
            arg=[count, tempo],
        )
    page.wait_for_function("log.steps.length >= 14")
    times, rate, notes = page.evaluate(
        """[
          [...starts.values()],
          [...starts.keys()][0].context.sampleRate,
          log.steps.length,
        ]"""
    )
    frames = np.array(times) * rate
    assert np.allclose(frames, np.round(frames), atol=1e-4)
    gaps = np.diff(np.sort(times))
    assert np.all(gaps >= 60 / 200 - 0.005)
    assert np.all(gaps <= 60 / 120 + 0.005)
    assert notes <= len(times) <= notes + 1


@pytest.mark.parametrize(("beats", "first_after"), [(8, 104), (4, 100)])
def test_new_score_takes_over_at_the_bar_line(page: Page, beats: int, first_after: int) -> None:
    # Slowly: a step is told at a frame, and one whose frames are all late is passed over.
    page.evaluate("score => loggedPlayer().play(score, { tempo: 120 })", stepped_score(8))
    page.wait_for_function("log.steps.length >= 2")
    page.evaluate("score => player.setScore(score)", stepped_score(beats, first_index=100))
    page.wait_for_function("log.steps.length >= 7")
    steps = page.evaluate("log.steps.slice(0, 6)")
    assert steps == [0, 1, 2, 3, first_after, first_after + 1]
    assert page.evaluate("log.notes.some((notes) => notes.some(({ midi }) => midi === 64))") is (
        beats == 8
    )


def test_new_score_in_the_count_in_starts_at_its_beginning(page: Page) -> None:
    page.evaluate(
        "score => loggedPlayer().play(score, { tempo: 240, countInBeats: 3 })", stepped_score(8)
    )
    page.evaluate("score => player.setScore(score)", stepped_score(4, first_index=100))
    page.wait_for_function("log.steps.length >= 3")
    assert page.evaluate("log.steps.slice(0, 3)") == [100, 101, 102]


def test_stop_fades_without_a_click_and_then_nothing_is_called(page: Page) -> None:
    # An analyser in place of the speakers keeps the last 0.7 s; a low smooth note shows a click well.
    page.evaluate(
        """() => loggedPlayer(() => {
          const context = new AudioContext();
          window.ear = new AnalyserNode(context, { fftSize: 32768 });
          ear.connect(context.destination);
          Object.defineProperty(context, "destination", { value: ear });
          return context;
        })"""
    )
    score = make_score(8, [event(0, 8, 28, part="bass", voice="bass")]) | {
        "steps": [{"beat": 0, "index": 0}]
    }
    page.evaluate("score => player.play(score)", score)
    page.wait_for_function("log.notes.length >= 1 && player.beat > 0.7")
    stopped_at = page.evaluate("(player.stop(), ear.context.currentTime)")
    calls = page.evaluate("JSON.stringify(log)")
    page.wait_for_function("player.activeCount === 0")
    text, read_at, rate = page.evaluate(
        """() => {
          const samples = new Float32Array(ear.fftSize);
          ear.getFloatTimeDomainData(samples);
          return [toBase64(samples), ear.context.currentTime, ear.context.sampleRate];
        }"""
    )
    samples = decode(text)
    last_sound = int(np.flatnonzero(np.abs(samples) > 1e-5)[-1])
    silent_seconds = (len(samples) - 1 - last_sound) / rate
    assert (
        silent_seconds >= read_at - stopped_at - 0.03 - 0.05
    )  # 50 ms: a device takes its sound in gulps
    steps = np.abs(np.diff(samples))
    fade = last_sound - int(0.03 * rate)
    playing = steps[
        fade - int(0.1 * rate) : fade
    ]  # the note rings; its pluck, a step by nature, is long past
    assert np.max(playing) > 1e-4
    assert np.max(steps[fade:]) <= np.max(playing)
    page.evaluate(
        "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))"
    )
    assert page.evaluate("log.states") == ["playing", "stopped"]
    assert page.evaluate("JSON.stringify(log)") == calls


def test_notes_are_released_after_many_passes(page: Page) -> None:
    page.evaluate(
        """(score) => {
          window.passes = 0;
          window.most = 0;
          loggedPlayer();
          player.play(score, { tempo: 2400 });
          let last = 0;
          const watch = () => {
            if (!player.playing) return;
            if (player.beat < last) passes++;
            last = player.beat;
            most = Math.max(most, player.activeCount);
            requestAnimationFrame(watch);
          };
          watch();
        }""",
        make_score(4, [event(beat, 0.9, 60 + beat) for beat in range(4)]),
    )
    page.wait_for_function("passes >= 50")
    # 40 notes a second; each is held for the horizon, its length and its release: about 0.25 s.
    assert 0 < page.evaluate("most") <= 25
    page.evaluate("player.stop()")
    page.wait_for_function("player.activeCount === 0")


def test_mutes_and_volume_may_be_set_at_any_time(page: Page) -> None:
    page.evaluate(
        "() => { loggedPlayer().setVolume(0.2); player.setPart('bass', { muted: true }); player.stop(); }"
    )
    page.evaluate("score => player.play(score, { tempo: 240 })", stepped_score(4))
    page.evaluate(
        "() => { player.setVolume(0.5); player.setPart('line', { gain: 0.5, muted: true }); }"
    )
    page.wait_for_function("log.steps.length >= 3")
    message = page.evaluate(
        "() => { try { player.setPart('solo', {}); } catch (error) { return error.message; } return ''; }"
    )
    assert message.startswith('unknown part "solo"')
