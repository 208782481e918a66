"""The atlas: where positions and shapes lie, in a few letters each, for a browser to look up.

It is made bit by bit while a kernel runs, and as a whole for a page to take home.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import lru_cache, partial
from itertools import product, zip_longest

from theorykit.instruments.catalogue import find_instrument
from theorykit.scene.harmony import Kind
from theorykit.scene.position_scene import found_positions, laid_notes, position_code
from theorykit.scene.selection import OMISSIONS, PATTERNS, Offer, Selection, played_chart
from theorykit.scene.shape_scene import found_shapes, shape_code
from theorykit.scene.sheet import engraving_code, sheet_code
from theorykit.scene.sheet_scene import OVER_A_CHART, WRITTEN, chosen_sheet, sheet_name
from theorykit.score.voicing import shape_voicings
from theorykit.theory.chord import Chord, ChordType
from theorykit.theory.key import TONICS
from theorykit.theory.progression import Progression

#: Before the name of a sheet, what an atlas calls its engraving.
ENGRAVED = "engraved/"

#: Under this name an atlas of a page has the numbers of the lines that there are.
PACKED_LINES = "packed lines"

#: Codes by what they are of; see ``position_name`` and ``shape_name``.
Atlas = dict[str, list[str]]


def position_name(instrument: str, pitch_classes: Iterable[int], pattern: str) -> str:
    """What an atlas calls the positions of some notes: they are the bits of its number."""
    bits = sum(1 << each for each in pitch_classes)
    return f"{instrument}/{bits}/{PATTERNS.index(pattern)}"


def shape_name(instrument: str, pitch_class: int, quality: str, omit: str) -> str:
    """What an atlas calls the shapes of a chord on a root, with no capo."""
    return f"{instrument}/{pitch_class}:{quality}-{omit}"


def held_name(instrument: str, members: Iterable[int]) -> str:
    """What an atlas calls the keys that a band plays a kind of chord with, by its root.

    Parameters
    ----------
    instrument : str
        With no capo.
    members : iterable of int
        Half steps above the root.
    """
    return f"held/{instrument}/{'.'.join(map(str, sorted(set(members))))}"


def atlas_of(selection: Selection, kind: Kind) -> Atlas:
    """What a selection shows."""
    if kind == "positions":
        notes = laid_notes(selection.tonic, selection.scale, selection.capo)
        return _positions(selection.instrument, notes, selection.pattern)
    if kind == "shapes":
        pitch_class = (selection.chord.root.pitch_class - selection.capo) % 12
        return _shapes(selection.instrument, pitch_class, selection.quality, selection.omit)
    if kind in WRITTEN:
        shown = music_of(selection, kind, engraved=True) | _held_chords(selection)
        if kind in OVER_A_CHART and selection.kept >= 0:
            kept = replace(selection, number=selection.kept)
            shown |= music_of(kept, kind, engraved=False)
        return shown
    if kind in {"progression", "ensemble"}:
        return _held_chords(selection)
    return {}


def music_of(selection: Selection, kind: Kind, *, engraved: bool) -> Atlas:
    """The written music of a selection, and its engraving if that is wanted."""
    name, sheet = sheet_name(selection, kind), chosen_sheet(selection, kind)
    found = {name: sheet_code(sheet, selection.instrument)}
    if engraved:
        found[ENGRAVED + name] = engraving_code(sheet, selection.instrument)
    return found


def _held_chords(selection: Selection) -> Atlas:
    found: Atlas = {}
    if selection.comp_held:
        for chord_type in _chart_types(selection.chart):
            found |= _held(selection.instrument, chord_type)
    return found


def whole_atlas(
    offer: Offer, kinds: Iterable[Kind], report: Callable[[int, int], None] | None = None
) -> Atlas:
    """Everything that the menus of an offer can reach.

    It takes a quarter of a second for each neck and chord quality: ``report`` is called with how
    many of how many entries are done.
    """
    todo = []
    if "positions" in kinds:
        # In a fixed order, so that a page comes out the same every time.
        notes = dict.fromkeys(
            laid_notes(tonic, scale) for scale in offer.scales for tonic in TONICS
        )
        ways = product(offer.instruments, notes, PATTERNS)
        todo += [partial(_positions, *each) for each in ways]
    if "shapes" in kinds:
        chords = product(offer.instruments, range(12), offer.qualities, OMISSIONS)
        todo += [partial(_shapes, *each) for each in chords]
    if {"progression", "ensemble", *OVER_A_CHART} & set(kinds):
        charts = map(played_chart, offer.progressions)
        types = dict.fromkeys(each for chart in charts for each in _chart_types(chart))
        todo += [partial(_held, *each) for each in product(offer.instruments, types)]
    found: Atlas = {}
    for done, entry in enumerate(todo, start=1):
        found |= entry()
        if report:
            report(done, len(todo))
    return found


def _positions(instrument: str, notes: frozenset[int], pattern: str) -> Atlas:
    found = found_positions(instrument, notes, pattern)
    neck = find_instrument(instrument)
    ways = pattern == PATTERNS[0]
    codes = [
        position_code(neck, here, there if ways else None)
        for here, there in zip_longest(found, found[1:])
    ]
    return {position_name(instrument, notes, pattern): codes}


def _shapes(instrument: str, pitch_class: int, quality: str, omit: str) -> Atlas:
    found = found_shapes(instrument, pitch_class, quality, omit)
    return {shape_name(instrument, pitch_class, quality, omit): list(map(shape_code, found))}


def _chart_types(chart: Progression) -> list[ChordType]:
    """The types of a chart's chords, and each without its third."""
    tonic = TONICS[0]
    played = [
        placed.numeral.chord(tonic).type
        for bar in chart.bars
        for placed in bar
        if not placed.silent
    ]
    bare = [chord_type.without_third() for chord_type in played]
    return list(dict.fromkeys([*played, *bare]))


def _held(instrument: str, chord_type: ChordType) -> Atlas:
    """The keys on each root from C up, lowest first; none where the arrangement voices it."""
    codes = []
    for pitch_class in range(12):
        root = next(tonic for tonic in TONICS if tonic.pitch_class == pitch_class)
        held = _voicings(instrument)(Chord(root, chord_type))
        codes.append(" ".join(map(str, held or ())))
    return {held_name(instrument, (each % 12 for each in chord_type.semitones)): codes}


@lru_cache(maxsize=64)
def _voicings(instrument: str) -> Callable[[Chord], tuple[int, ...] | None]:
    return shape_voicings(find_instrument(instrument))
