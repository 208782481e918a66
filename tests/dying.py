"""Work for the tests of dispatch: items that end the process which works on them."""

from __future__ import annotations

import os
import time
from collections.abc import Sequence


def doubled(batch: Sequence[int], attempt: int) -> list[int]:
    """Twice each number; a negative one ends the process, always."""
    for number in batch:
        if number < 0:
            os._exit(3)
    time.sleep(0.002)
    return [2 * number for number in batch]


def doubled_or_raised(batch: Sequence[int], attempt: int) -> list[int]:
    """Twice each number; a negative one is an error, as a cluster reports a worker that it lost."""
    if min(batch) < 0:
        raise OSError("lost")
    return [2 * number for number in batch]
