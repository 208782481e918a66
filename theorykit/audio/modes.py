"""Sums of partials that die away, each at its own rate."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Samples = npt.NDArray[np.float32]
Complexes = npt.NDArray[np.complex128]
Table = npt.NDArray[np.complex64]

#: A partial below this share of the strongest is not heard any more.
_GONE = 1e-4

_ROW, _FIRST_ROWS = 256, 4


def sum_of_modes(starts: Complexes, poles: Complexes, count: int) -> Samples:
    """The real part of the sum of ``starts * poles**k``, in rows of samples.

    Sample k = row * width + column is start * pole^(row * width) * pole^column. A partial is left
    out of the rows in which it can no longer be heard: most rows hold few.
    """
    rows = -(-count // _ROW)
    out = np.empty((rows, _ROW), dtype=np.float32)
    fall = np.maximum(-np.log(np.abs(poles)) * _ROW, 1e-12)
    levels = np.abs(starts)
    last_row = np.log(levels / (_GONE * float(levels.max()))) / fall
    order = np.argsort(-last_row)
    starts, poles, last_row = starts[order], poles[order], last_row[order]
    # Real parts of products, as one real product: (re, im) times (re, -im), interleaved.
    columns = powers(poles, _ROW).conj().view(np.float32)
    leaps = poles**_ROW
    first, size, alive = 0, _FIRST_ROWS, len(poles)
    while first < rows:
        last = min(first + size, rows)
        alive = max(1, int(np.searchsorted(-last_row[:alive], -first, side="right")))
        heads = powers(leaps[:alive], last - first, starts[:alive]).view(np.float32)
        np.matmul(heads, columns[:, : 2 * alive].T, out=out[first:last])
        starts = starts[:alive] * leaps[:alive] ** (last - first)
        first, size = last, size * 2
    return out.reshape(-1)[:count]


def powers(bases: Complexes, count: int, first: Complexes | None = None) -> Table:
    """``first`` times the powers 0 to count - 1 of each base, a column for each base."""
    table = np.empty((count, len(bases)), dtype=np.complex64)
    table[0] = 1 if first is None else first
    done, factor = 1, bases
    while done < count:
        more = min(done, count - done)
        np.multiply(table[:more], factor.astype(np.complex64), out=table[done : done + more])
        done += more
        factor = factor * factor
    return table
