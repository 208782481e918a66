"""The tables of voices, feels and boxes as a module of the browser's, which has none of its own."""

from __future__ import annotations

import json
from typing import Any

from theorykit.audio.voices import PART_GAINS, voices_data
from theorykit.log.boxes import BOX_DAYS
from theorykit.score.feel import FALLBACKS, FEELS, Feel, Stroke
from theorykit.theory.meter import METERS


def tables_source() -> str:
    """The text of the module ``tables.js``."""
    tables = {
        "VOICES": voices_data(),
        "PART_GAINS": PART_GAINS,
        "FEELS": {name: _feel(feel) for name, feel in FEELS.items()},
        "FALLBACKS": FALLBACKS,
        "BOX_DAYS": BOX_DAYS,
        "METERS": {
            name: {
                "beats": meter.beats,
                "quarters": float(meter.beat_quarters),
                "parts": meter.beat_parts,
            }
            for name, meter in METERS.items()
        },
    }
    return "".join(
        f"export const {name} = {json.dumps(table, separators=(',', ':'))};\n"
        for name, table in tables.items()
    )


def _feel(feel: Feel) -> dict[str, Any]:
    return {
        "swing": float(feel.swing),
        "compVoice": feel.comp_voice,
        "bassVoice": feel.bass_voice,
        "strumBeats": float(feel.strum_beats),
        "patterns": {
            meter: {"bass": _strokes(pattern.bass), "comp": _strokes(pattern.comp)}
            for meter, pattern in feel.patterns.items()
        },
    }


def _strokes(strokes: tuple[Stroke, ...]) -> list[dict[str, Any]]:
    return [
        {
            "at": float(stroke.at),
            "beats": float(stroke.beats),
            "what": stroke.what,
            "level": stroke.level,
        }
        for stroke in strokes
    ]
