"""The workers of a Dask cluster, for the commands that have much to do."""

from __future__ import annotations

from concurrent.futures import Executor

from theorykit.errors import BadInput


def cluster(address: str) -> Executor:
    """The executor of a scheduler at an address.

    Raises
    ------
    BadInput
        If none answers there, or the package that talks to it is not installed.
    """
    try:
        from distributed import Client
    except ImportError:
        raise BadInput(
            "dask",
            address,
            "can't be reached without distributed",
            accepted="after: pip install 'theorykit[cluster]'",
        ) from None
    try:
        executor: Executor = Client(address, timeout="10s").get_executor()  # type: ignore[no-untyped-call]
    except (OSError, ValueError, TimeoutError) as error:
        raise BadInput("dask", address, "no scheduler answers there") from error
    return executor
