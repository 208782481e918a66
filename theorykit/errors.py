"""The one exception family, and the one shape of a message about bad input."""

from __future__ import annotations

import difflib
from collections.abc import Iterable


class TheoryKitError(Exception):
    """Root of every error that theorykit raises on purpose."""


class BadInput(TheoryKitError, ValueError):
    """A value that was given and can't be used.

    The message is one line: what kind of value, the value, what is wrong with it, what would be
    accepted and, where there is one, the nearest accepted value.

    Parameters
    ----------
    kind : str
        What the value was meant to be, e.g. ``"scale"``.
    value : object
        The value as given.
    reason : str
        What is wrong with it.
    accepted : str, optional
        What would be accepted, in words.
    nearest : str, optional
        The nearest value that would be accepted.

    Examples
    --------
    >>> print(BadInput("key", "H", "no such note", accepted="A to G", nearest="B"))
    key 'H': no such note; accepted: A to G; did you mean 'B'?
    """

    def __init__(
        self,
        kind: str,
        value: object,
        reason: str,
        *,
        accepted: str | None = None,
        nearest: str | None = None,
    ) -> None:
        self.kind = kind
        self.value = value
        self.reason = reason
        self.accepted = accepted
        self.nearest = nearest
        shown = " ".join(str(value).split())
        if len(shown) > 60:
            shown = shown[:57] + "..."
        parts = [f"{kind} '{shown}': {reason}"]
        if accepted:
            parts.append(f"accepted: {accepted}")
        if nearest:
            parts.append(f"did you mean '{nearest}'?")
        super().__init__("; ".join(parts))

    def __reduce__(self) -> tuple[object, ...]:
        # Exceptions cross process borders by pickling, which would replay the message as ``kind``.
        state = (self.kind, self.value, self.reason, self.accepted, self.nearest)
        return (_rebuild, state)


class TuneError(TheoryKitError, ValueError):
    """A tune file that can't be read.

    Parameters
    ----------
    reason : str
        What is wrong with it.
    bar, line : int, optional
        Where, counted from 1.

    Examples
    --------
    >>> print(TuneError("a note with no length", bar=3))
    bar 3: a note with no length
    """

    def __init__(self, reason: str, *, bar: int | None = None, line: int | None = None) -> None:
        self.reason = reason
        self.bar = bar
        self.line = line
        shown = "".join(letter if letter.isprintable() else " " for letter in reason)
        if len(shown) > 200:
            shown = shown[:197] + "..."
        places = [
            f"{kind} {number}"
            for kind, number in (("line", line), ("bar", bar))
            if number is not None
        ]
        super().__init__(f"{', '.join(places)}: {shown}" if places else shown)

    def __reduce__(self) -> tuple[object, ...]:
        return (_rebuild_tune, (self.reason, self.bar, self.line))


def _rebuild_tune(reason: str, bar: int | None, line: int | None) -> TuneError:
    return TuneError(reason, bar=bar, line=line)


def _rebuild(
    kind: str, value: object, reason: str, accepted: str | None, nearest: str | None
) -> BadInput:
    return BadInput(kind, value, reason, accepted=accepted, nearest=nearest)


def nearest(value: str, options: Iterable[str]) -> str | None:
    """The option most like ``value``, capitals aside, or None when nothing is near.

    Examples
    --------
    >>> nearest("minr pentatonic", ["major", "minor pentatonic", "blues"])
    'minor pentatonic'
    """
    by_folded: dict[str, str] = {}
    for option in options:
        by_folded.setdefault(option.casefold(), option)
    close = difflib.get_close_matches(value.strip().casefold(), by_folded, n=1, cutoff=0.5)
    return by_folded[close[0]] if close else None
