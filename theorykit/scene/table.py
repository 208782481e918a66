"""The table: every scene of an offer, key-free, small enough to send to a browser.

Theory is written in degrees, so one entry serves all keys; a key only adds names. The module that
draws finds any scene by look-ups here.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache
from typing import Any

from theorykit.analysis import wording
from theorykit.analysis.advice import LEAST_BEATS, advise, sounded
from theorykit.analysis.fit import classes, scale_over
from theorykit.analysis.saved_style import read_style
from theorykit.analysis.style import CLASSES
from theorykit.analysis.tonality import TuneMode, tune_mode
from theorykit.instruments.catalogue import find_instrument
from theorykit.practice.line_level import LEVELS
from theorykit.practice.sequence_pattern import SEQUENCES
from theorykit.scene import captions
from theorykit.scene.codes import LABEL_LIFT, LEGENDS, LINKS, codes_as_data
from theorykit.scene.geometry import (
    ABOVE_Y,
    BELOW_Y,
    CAPO_SHARE,
    CAPO_WIDTH,
    NUT,
    keyboard_geometry,
    neck_geometry,
)
from theorykit.scene.harmony import HOME
from theorykit.scene.menus import CAPO_KINDS, MENU_WORDS, MENUS, option_words, options
from theorykit.scene.phrases import MEMBER_WORDS, PHRASES
from theorykit.scene.scale_scene import CHROMATIC_TOKENS
from theorykit.scene.selection import (
    FASTEST,
    FIGURES,
    LABELS,
    OMISSIONS,
    PATTERNS,
    PLACES,
    SLOWEST,
    Offer,
    played_chart,
)
from theorykit.scene.shape_scene import REACHES
from theorykit.theory.chord import ChordType
from theorykit.theory.degree import Degree
from theorykit.theory.key import TONICS, usual_tonic
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.progression import ChartChord, Progression
from theorykit.theory.scale import ScaleFormula, find_scale

#: Verdicts by the digit that stands for them.
VERDICTS = ("stay", "pass", "leave", "switch")


class _Interned(dict[str, int]):
    """Texts by number, each kept once."""

    def number(self, text: str) -> int:
        return self.setdefault(text, len(self))


@dataclass(slots=True)
class _Builder:
    """Collects what the entries refer to while they are made."""

    tokens: set[str] = field(default_factory=set)
    texts: _Interned = field(default_factory=_Interned)
    shown: list[dict[str, Any]] = field(default_factory=list)
    shown_numbers: dict[tuple[Degree, ScaleFormula, str], int] = field(default_factory=dict)
    chords: list[dict[str, Any]] = field(default_factory=list)
    contexts: dict[tuple[Numeral, TuneMode, bool, bool, bool], int] = field(default_factory=dict)
    placed: list[tuple[Numeral, TuneMode, ChartChord]] = field(default_factory=list)
    shifts: list[Degree] = field(default_factory=lambda: [Degree(1)])

    def shift(self, tonic: Degree) -> int:
        """The number of a tonic that a chart changes to, as a degree of the home key."""
        if tonic not in self.shifts:
            self.shifts.append(tonic)
        return self.shifts.index(tonic)

    def text(self, template: str) -> int:
        self.tokens.update(match[1] for match in wording.TOKEN.finditer(template))
        return self.texts.number(template)

    def token(self, degree: Degree, alternate: Degree | None = None) -> str:
        name = wording.token(degree, alternate)
        self.tokens.add(name)
        return name

    def show(self, tonic: Degree, formula: ScaleFormula, title: str) -> int:
        """The number of a scale on a degree, as it can stand on a neck."""
        key = (tonic, formula, title)
        if key not in self.shown_numbers:
            tokens, labels = [], []
            for index, own in enumerate(formula.degrees):
                other = formula.alternate(index)
                tokens.append(
                    self.token(tonic.plus(own), tonic.plus(other) if other is not None else None)
                )
                labels.append(f"{own.pretty}|{other.pretty}" if other is not None else own.pretty)
            self.shown_numbers[key] = len(self.shown)
            self.shown.append(
                {
                    "title": self.text(title),
                    "semi": [(tonic.semitones + own.semitones) % 12 for own in formula.degrees],
                    "token": tokens,
                    "label": labels,
                }
            )
        return self.shown_numbers[key]

    def chord(self, placed: ChartChord, mode: TuneMode, *, thirds: bool = True) -> int:
        """The number of a chord as it stands in a chart: long or short, in major or minor."""
        numeral = placed.numeral
        key = (numeral, mode, placed.beats >= LEAST_BEATS, thirds, placed.silent)
        if key not in self.contexts:
            played = sounded(numeral, thirds=thirds)
            self.contexts[key] = len(self.chords)
            self.placed.append((played, mode, placed))
            entry = self._chord_entry(numeral, played, mode)
            if placed.silent:
                entry |= {"numeral": captions.NO_CHORD, "silent": True}
            self.chords.append(entry)
            if thirds:
                bare = self.chord(placed, mode, thirds=False)
                self.chords[self.contexts[key]]["bare"] = bare
        return self.contexts[key]

    def _chord_entry(self, written: Numeral, played: Numeral, mode: TuneMode) -> dict[str, Any]:
        members = []
        for own in played.type.degrees:
            degree = played.root.plus(own)
            members.append(
                {
                    "token": self.token(degree),
                    "semi": degree.semitones % 12,
                    "label": own.ordinal if own.number == 1 else own.pretty,
                }
            )
        table = classes(played, mode)
        root = played.root.semitones % 12
        tones = scale_over(played, find_scale("chord tones"))
        return {
            "name": self.text(wording.chord_words(played)),
            "numeral": written.pretty,
            "semi": root,
            "bass": (played.bass or played.root).semitones % 12,
            "members": members,
            "classes": "".join(str(CLASSES.index(kind)) for kind, _ in table),
            "tones": self.show(played.root, tones, f"{wording.chord_words(played)} {tones.name}"),
        }


@lru_cache(maxsize=8)
def scene_table(offer: Offer) -> dict[str, Any]:
    """The table of an offer, as data that JSON can hold. Treat it as read-only: it is cached.

    Parameters
    ----------
    offer : Offer

    Returns
    -------
    dict
        ``keys``, ``scales``, ``progressions``, ``styles``, ``instruments``, ``labels``,
        ``qualities``, ``patterns``, ``omissions``, ``places`` (in the order of the menus),
        ``menus`` (their words), ``kinds`` (which of them an explorer has), ``chords``, ``shown``
        (scales as they stand on a neck), ``texts`` (templates), ``advice`` (by style, scale and
        chord: verdict, scale to play, sentence, short words), ``phrases``, ``codes`` and geometry.
    """
    builder = _Builder()
    scales = [find_scale(name) for name in offer.scales]
    charts = [played_chart(name) for name in offer.progressions]
    progressions = [
        _progression_entry(builder, chart, name)
        for chart, name in zip(charts, offer.progressions, strict=True)
    ]
    home = builder.chord(ChartChord(HOME, Fraction(4)), "major")
    for token in CHROMATIC_TOKENS:
        builder.tokens.add(token)
    qualities = [_quality_entry(builder, name) for name in offer.qualities]
    scale_entries = [_scale_entry(builder, scale, scales) for scale in scales]
    advice = [[_advice_row(builder, style, scale) for scale in scales] for style in offer.styles]
    return {
        "keys": [_key_entry(tonic, builder) for tonic in TONICS],
        "scales": scale_entries,
        "progressions": progressions,
        "styles": option_words("style", offer.styles),
        "instruments": [neck_geometry(find_instrument(name)) for name in offer.instruments],
        "labels": list(LABELS),
        "qualities": qualities,
        "patterns": list(PATTERNS),
        "omissions": list(OMISSIONS),
        "places": list(PLACES),
        "reaches": REACHES,
        "menus": {
            name: {"words": words, "options": option_words(name, options(offer, name))}
            for name, words in MENU_WORDS.items()
        },
        "kinds": MENUS,
        "capo_kinds": CAPO_KINDS,
        "phrases": PHRASES,
        "members": MEMBER_WORDS,
        "promises": [level.promise for level in LEVELS.values()],
        "figure_words": [SEQUENCES[name].words for name in FIGURES],
        "tempo": [SLOWEST, FASTEST],
        "chords": builder.chords,
        "home": home,
        "silence": {"sentence": captions.SILENCE, "short": captions.SILENCE_SHORT},
        "shown": builder.shown,
        "texts": list(builder.texts),
        "advice": advice,
        "verdicts": list(VERDICTS),
        "chromatic": list(CHROMATIC_TOKENS),
        "classes": [{"role": kind.role, "rubs": kind.rubs_against} for kind in CLASSES],
        "codes": codes_as_data(),
        "legends": {name: list(roles) for name, roles in LEGENDS.items()},
        "lift": LABEL_LIFT,
        "links": {
            role: {"color": color, "dash": dash, "width": width}
            for role, (color, dash, width) in LINKS.items()
        },
        "ruler": {"above": ABOVE_Y, "below": BELOW_Y},
        "capo": {"share": CAPO_SHARE, "color": NUT, "width": CAPO_WIDTH},
        "keyboard": keyboard_geometry(),
    }


def _key_entry(tonic: Note, builder: _Builder) -> dict[str, Any]:
    names, second = {}, []
    for token in sorted(builder.tokens):
        degree = wording.token_degree(token, tonic)
        names[token] = degree.at(tonic).pretty
        if "|" in token and str(degree) == token.partition("|")[2]:
            second.append(token)
    return {
        "name": str(tonic),
        "pretty": tonic.pretty,
        "semi": tonic.pitch_class,
        "names": names,
        "second": second,
        "shifted": [TONICS.index(usual_tonic(degree.at(tonic))) for degree in builder.shifts],
    }


def _quality_entry(builder: _Builder, name: str) -> dict[str, Any]:
    kind = ChordType.parse(name)
    # The note that is compared over a chord with a major third.
    builder.token(Degree(3, -1))
    members = [
        {
            "number": str(degree.number),
            "token": builder.token(degree),
            "semi": degree.semitones % 12,
            "label": degree.pretty,
        }
        for degree in kind.degrees
    ]
    return {"suffix": name, "pretty": kind.pretty, "members": members}


def _scale_entry(
    builder: _Builder, scale: ScaleFormula, scales: list[ScaleFormula]
) -> dict[str, Any]:
    shown = None
    if not scale.follows_chord:
        shown = builder.show(Degree(1), scale, f"{{1}} {scale.name}")
    return {
        "name": scale.name,
        "shown": shown,
        "sentence": builder.text(captions.scale_sentence(scale, None)),
        "beside": [builder.text(captions.scale_sentence(scale, other)) for other in scales],
    }


def _progression_entry(builder: _Builder, chart: Progression, name: str) -> dict[str, Any]:
    mode, bars = tune_mode(chart), []
    for number, (bar, tonic) in enumerate(zip(chart.bars, chart.tonics, strict=True)):
        shift = builder.shift(tonic)
        row: list[list[int | float]] = []
        for placed in bar:
            local = ChartChord(chart.local_numeral(number, placed), placed.beats, placed.silent)
            row.append([builder.chord(local, mode), float(placed.beats), shift])
        bars.append(row)
    return {
        "name": name,
        "beats": chart.beats_per_bar,
        "meter": chart.meter,
        "minor": chart.mode == "minor",
        "bars": bars,
    }


def _advice_row(builder: _Builder, style: str, scale: ScaleFormula) -> list[list[int]]:
    taste = read_style(style)
    row = []
    for numeral, mode, placed in builder.placed:
        advice = advise(scale, numeral, taste, mode, placed.beats)
        target = -1
        if advice.verdict == "switch":
            title = f"{{{advice.scale_tonic}}} {advice.scale.name}"
            target = builder.show(advice.scale_tonic, advice.scale, title)
        row.append(
            [
                VERDICTS.index(advice.verdict),
                target,
                builder.text(advice.reason),
                builder.text(advice.short),
            ]
        )
    return row
