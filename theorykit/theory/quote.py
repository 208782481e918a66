"""Pieces of the user's input inside an error's reason."""

from __future__ import annotations

_LONGEST = 24


def quoted(text: str) -> str:
    """A piece of input in quotes, on one line and cut short, so that the message stays one line.

    >>> quoted("two   words"), quoted("x" * 99)
    ("'two words'", "'xxxxxxxxxxxxxxxxxxxxx...'")
    """
    shown = " ".join(text.split())
    return f"'{shown[: _LONGEST - 3]}...'" if len(shown) > _LONGEST else f"'{shown}'"
