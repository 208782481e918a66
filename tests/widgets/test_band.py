"""The browser's band and synthesiser beside the Python ones: the same notes, and the same sound of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Browser, Page
from sounding import render as render_in_browser
from sounding import sound_page
from spectrum import Samples, centroid_hz, cents, level_db

from theorykit.audio.mix import render
from theorykit.audio.voices import PART_GAINS, VOICES
from theorykit.instruments.catalogue import find_instrument
from theorykit.scene.atlas import atlas_of, whole_atlas
from theorykit.scene.selection import Offer, Selection
from theorykit.scene.table import scene_table
from theorykit.score.arrange import arrange
from theorykit.score.feel import FEELS
from theorykit.score.score import Glide, Part, Score, ScoreNote, Vibrato
from theorykit.score.voicing import shape_voicings
from theorykit.theory.chord import Chord
from theorykit.theory.form import FORMS, MORE_FORMS
from theorykit.theory.key import TONICS, Key
from theorykit.theory.meter import METERS, find_meter
from theorykit.theory.progression import Progression

pytestmark = pytest.mark.browser

KEYS = ("C", "F#", "Bb", "E")

#: What `renderScore` does to a score beside the part's gain: its volume of 1 is a gain of 1.
FULL_VOLUME = 1

PITCHED = [name for name, voice in VOICES.items() if voice.kind in {"string", "tone"}]


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    with sound_page(browser) as opened:
        yield opened


def chord_data(placed_beats: Fraction, chord: Chord | None, key: Key) -> dict[str, Any]:
    if chord is None:
        return {"beats": float(placed_beats), "silent": True, "tonic": key.tonic.pitch_class}
    return {
        "beats": float(placed_beats),
        "root": chord.root.pitch_class,
        "bass": (chord.bass or chord.root).pitch_class,
        "members": list(chord.type.semitones),
        "tonic": key.tonic.pitch_class,
        "minor": key.mode == "minor",
    }


def chart_data(score: Score, **more: Any) -> dict[str, Any]:
    chords = []
    for placed in score.chords:
        key = [key for at, key in score.keys if at <= placed.start][-1]
        chords.append(chord_data(placed.beats, placed.chord, key))
    return {"meter": score.meter, "chords": chords, **more}


def python_events(score: Score) -> list[tuple[Any, ...]]:
    return sorted(
        (
            part.name,
            round(float(note.onset), 5),
            note.midi,
            round(float(note.sounding_beats), 5),
            part.voice_of(note),
            round(note.level, 5),
        )
        for part in score.parts
        for note in part.notes
    )


def browser_events(events: list[dict[str, Any]]) -> list[tuple[Any, ...]]:
    return sorted(
        (
            event["part"],
            round(event["beat"], 5),
            event["midi"],
            round(event["beats"], 5),
            event["voice"],
            round(event["level"], 5),
        )
        for event in events
    )


def assert_same_events(page: Page, score: Score, **more: Any) -> None:
    found = page.evaluate("chart => sound.bandEvents(chart)", chart_data(score, **more))
    assert found["feel"] == score.feel
    ours, theirs = python_events(score), browser_events(found["events"])
    assert [event[:3] for event in ours] == [event[:3] for event in theirs]
    for one, other in zip(ours, theirs, strict=True):
        assert one[4] == other[4]
        assert one[3] == pytest.approx(other[3], abs=2e-5)
        assert one[5] == pytest.approx(other[5], abs=2e-5)


@pytest.mark.parametrize("feel", FEELS)
def test_the_band_plays_the_same_notes_in_every_form(page: Page, feel: str) -> None:
    # The keys and the chords without thirds come round, so that each form is played in some of them.
    for number, form in enumerate((*FORMS, *MORE_FORMS), start=list(FEELS).index(feel)):
        key, thirds = KEYS[number % len(KEYS)], bool(number % 3)
        score = arrange(form, key, feel=feel, thirds=thirds, ending=False, drone=True)
        assert_same_events(page, score, feel=feel, thirds=thirds)


@pytest.mark.parametrize("meter", METERS)
def test_the_band_plays_the_same_notes_in_every_meter(page: Page, meter: str) -> None:
    rest = ". " * (find_meter(meter).beats - 2)
    chart = Progression.parse(
        f"{meter} | I | IV {rest}V | vi7 | N.C. {rest}V7 | I/3 | key: V I | V7 | key: I iiø7 | I13 |"
    )
    for feel in FEELS:
        score = arrange(chart, "Am", feel=feel, ending=False, drone=True)
        assert_same_events(page, score, feel=feel)


@pytest.mark.parametrize("neck", ["guitar", "mandolin", "banjo", "fiddle", "ukulele", "bass"])
@pytest.mark.parametrize("capo", [0, 2])
def test_chords_are_held_as_the_instrument_holds_them(page: Page, neck: str, capo: int) -> None:
    """The study's choice beside the arrangement of the same shapes; what has none is in close position."""
    instrument = find_instrument(neck)
    charts = ("12-bar blues", "| I | IVmaj7 V/5 | vi7 viiø7 | ii7 V9 |", "i-iv-V in minor")
    offer = Offer(progressions=charts, instruments=(instrument.name,))
    table, atlas = scene_table(offer), whole_atlas(offer, {"progression"})
    held = shape_voicings(instrument, capo=capo)
    for number, chart in enumerate(charts):
        for thirds in (True, False):
            mode = "m" if "minor" in chart else ""
            choice = Selection.of(
                key="A", progression=chart, instrument=neck, capo=capo, comp_held=True
            )
            assert all(
                atlas[name] == codes for name, codes in atlas_of(choice, "progression").items()
            )
            score = arrange(
                chart,
                f"A{mode}",
                feel="bluegrass",
                thirds=thirds,
                voicings=held,
                comp_voice=instrument.voice,
                ending=False,
            )
            found = page.evaluate(
                "([table, choice, atlas]) => sound.bandScore(table, choice, { atlas })",
                [
                    table,
                    {
                        "progression": number,
                        "key": [str(tonic) for tonic in TONICS].index("A"),
                        "feel": list(FEELS).index("bluegrass"),
                        "instrument": 0,
                        "capo": capo,
                        "thirds": thirds,
                        "comp_held": True,
                    },
                    atlas,
                ],
            )
            events = [event for event in found["events"] if event["part"] == "comp"]
            ours = [event for event in python_events(score) if event[0] == "comp"]
            assert ours == browser_events(events)


# The same sound of the same notes


def score_data(score: Score) -> dict[str, Any]:
    events = []
    for part in score.parts:
        for note in part.notes:
            event: dict[str, Any] = {
                "beat": float(note.onset),
                "beats": float(note.sounding_beats),
                "midi": note.midi,
                "part": part.name,
                "voice": part.voice_of(note),
                "level": note.level,
            }
            if note.glide is not None:
                event["bend"] = [[float(at), height] for at, height in note.glide.points]
            if note.vibrato is not None:
                event["vibrato"] = {
                    "hz": note.vibrato.hz,
                    "cents": note.vibrato.cents,
                    "delaySeconds": note.vibrato.delay_seconds,
                }
            events.append(event)
    return {"beats": float(score.end), "beatsPerBar": 4, "events": events, "steps": []}


def both(page: Page, score: Score) -> tuple[Samples, Samples]:
    """The score as Python and the browser sound it, neither brought to a loudness."""
    ours = render(score, loudness=None).samples[:, 0].astype(float)
    theirs = render_in_browser(page, score_data(score), tempo=score.tempo, volume=FULL_VOLUME)
    length = min(len(ours), len(theirs))
    assert abs(len(ours) - len(theirs)) < 100
    return ours[:length], theirs[:length]


def assert_alike(ours: Samples, theirs: Samples) -> None:
    assert level_db(ours) == pytest.approx(level_db(theirs), abs=1)
    assert centroid_hz(ours, 44100) == pytest.approx(centroid_hz(theirs, 44100), rel=0.05)


@pytest.mark.parametrize("voice", VOICES)
def test_each_voice_sounds_the_same(page: Page, voice: str) -> None:
    notes = tuple(
        ScoreNote(Fraction(beat), Fraction(1), midi, level=0.3)
        for beat, midi in enumerate((40, 45, 52, 57, 64, 69, 76, 77, 81))
    )
    ours, theirs = both(page, Score((Part("comp", notes, voice),), tempo=90))
    assert_alike(ours, theirs)
    # Note by note too: two thirds of a second each.
    for start in range(0, 9 * 29400, 29400):
        assert_alike(ours[start : start + 29400], theirs[start : start + 29400])


@pytest.mark.parametrize("feel", FEELS)
def test_each_feel_sounds_the_same(page: Page, feel: str) -> None:
    score = arrange("I-V-vi-IV", "A", feel=feel, tempo=120)
    quiet = score.with_mix(bass={"volume": 0.4}, comp={"volume": 0.4})
    data = score_data(quiet)
    for event in data["events"]:
        event["level"] *= 0.4
    ours = render(quiet, loudness=None).samples[:, 0].astype(float)
    theirs = render_in_browser(page, data, tempo=120, volume=FULL_VOLUME)
    length = min(len(ours), len(theirs))
    assert_alike(ours[:length], theirs[:length])


def test_bends_slides_and_vibrato_sound_the_same(page: Page) -> None:
    bend = Glide("bend", ((Fraction(0), 0.0), (Fraction(1), 0.5)))
    slide = Glide("slide", ((Fraction(1), -2.0), (Fraction(2), 0.0)))
    notes = (
        ScoreNote(Fraction(0), Fraction(4), 60, glide=bend, level=0.4),
        ScoreNote(Fraction(4), Fraction(4), 64, glide=slide, level=0.4),
        ScoreNote(Fraction(8), Fraction(4), 69, vibrato=Vibrato(cents=30), level=0.4),
    )
    for voice in ("guitar", "fiddle"):
        ours, theirs = both(page, Score((Part("line", notes, voice),), tempo=60))
        assert_alike(ours, theirs)
        for start in range(12):
            part = slice(start * 44100, (start + 1) * 44100)
            assert_alike(ours[part], theirs[part])


def test_a_bend_reaches_the_same_pitch_between_the_frets(page: Page) -> None:
    bend = Glide("bend", ((Fraction(0), 0.0), (Fraction(1), 0.5)))
    note = ScoreNote(Fraction(0), Fraction(4), 60, glide=bend, level=0.4)
    for samples in both(page, Score((Part("line", (note,), "guitar"),), tempo=60)):
        assert abs(cents(samples[66150:132300], 60.5, 44100)) < 0.5


@pytest.mark.parametrize("voice", PITCHED)
def test_the_browsers_voices_are_in_tune(page: Page, voice: str) -> None:
    straight = Vibrato(cents=0)
    for midi in range(28, 61 if voice == "bass" else 101, 3):
        note = ScoreNote(Fraction(0), Fraction(2), midi, vibrato=straight, level=0.5)
        data = score_data(Score((Part("line", (note,), voice),), tempo=80))
        samples = render_in_browser(page, data, tempo=80)
        assert abs(cents(samples[:66150], midi, 44100)) < 0.5


def test_the_tables_of_the_browser_are_the_packages_own(page: Page) -> None:
    assert page.evaluate("Object.keys(sound.VOICES)") == list(VOICES)
    assert page.evaluate("sound.PART_GAINS") == PART_GAINS
    assert page.evaluate("Object.keys(sound.FEELS)") == list(FEELS)


def test_a_level_is_a_level(page: Page) -> None:
    note = ScoreNote(Fraction(0), Fraction(1), 52, level=0.3)
    loud, soft = (
        both(page, Score((Part("comp", (replace(note, level=level),), "banjo"),)))
        for level in (0.3, 0.15)
    )
    for one, other in zip(loud, soft, strict=True):
        assert level_db(one) - level_db(other) == pytest.approx(20 * np.log10(2), abs=0.01)
