"""What a record of the log may hold, and how a time is kept."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from datetime import UTC, date, datetime
from datetime import time as clock_time

from theorykit.errors import BadInput

#: Longer than any take's review or score; a recording does not belong into a log (stipulated).
MOST_LETTERS = 4_000_000
#: A question, an answer or an item is a line of text (stipulated).
MOST_LINE = 1000


def kept_time(at: date | datetime | None, *, last: bool = False) -> str:
    """A time as it is kept: in UTC with its microseconds, so that texts sort as times do."""
    if at is None:
        return "~" if last else ""
    if isinstance(at, datetime):
        moment = at
    elif isinstance(at, date):
        moment = datetime.combine(at, clock_time())
    else:
        raise BadInput("time", at, "not a time", accepted="a date or a datetime")
    try:
        return moment.astimezone(UTC).isoformat(timespec="microseconds")
    except (OverflowError, ValueError, OSError):
        raise BadInput("time", at, "out of range") from None


def kept_line(kind: str, text: object, *, empty: bool = False) -> str:
    """A text that is short and has no half of a letter in it."""
    short = isinstance(text, str) and len(text) <= MOST_LINE and (empty or bool(text.strip()))
    if not short or any("\ud800" <= letter <= "\udfff" for letter in str(text)):
        accepted = f"a text of up to {MOST_LINE} letters"
        raise BadInput(kind, ascii(text), "can't be kept", accepted=accepted)
    return str(text)


def kept_amount(kind: str, value: float | None) -> float | None:
    """A number from 0 on, or None."""
    if value is None:
        return None
    good = isinstance(value, int | float) and not isinstance(value, bool)
    if not good or not math.isfinite(value) or value < 0:
        raise BadInput(kind, value, "not an amount", accepted="a number from 0 on")
    return float(value)


def loaded(data: object) -> object:
    """Plain data, of which a text is the JSON."""
    if not isinstance(data, str):
        return data
    try:
        return json.loads(data)
    except (ValueError, RecursionError):
        raise BadInput("score", data, "not JSON", accepted="plain data or their JSON") from None


def kept_json(kind: str, data: object) -> str:
    """The JSON of plain data."""
    try:
        plain = dict(data) if isinstance(data, Mapping) else data
        text = json.dumps(plain, allow_nan=False)
    except (TypeError, ValueError, RecursionError) as error:
        reason = f"not plain data ({error})"
        raise BadInput(kind, data, reason, accepted="what JSON can hold") from None
    if len(text) > MOST_LETTERS:
        raise BadInput(kind, f"{len(text)} letters", f"longer than {MOST_LETTERS}")
    return text
