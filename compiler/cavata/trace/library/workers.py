"""Who does the work: this process, workers on this machine, or a cluster that is there already.

In: a function and what it is to be done with, one thing after another. Out: the results, as they come. A worker that
dies is no loss: what it was doing is done by another; only what kills several one after another is given up. By Dask,
which sends functions and results as pickles between scheduler and workers: whoever may speak to a scheduler may run
programs on its workers, so that it belongs behind a firewall or TLS.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from typing import Protocol, TypeVar

from cavata.record import record

DEATHS = 3
"""So many workers may die over one thing before it is given up."""
PATIENCE, OWN = "10s", "60s"
"""How long a scheduler may take to answer: one elsewhere, and one that was begun here."""
_Thing = TypeVar("_Thing")
_Result = TypeVar("_Result")


@record
class Lost(Exception):
    """Why the work could not be done."""

    why: str


class Workers(Protocol):
    """Those who do the work."""

    def each(self, do: Callable[[_Thing], _Result], things: Iterable[_Thing]) -> Iterator[_Result]:
        """What is done with each, as soon as it is done. Raises Lost where it cannot be."""
        ...


class Here:
    """This process, one thing after another."""

    def each(self, do: Callable[[_Thing], _Result], things: Iterable[_Thing]) -> Iterator[_Result]:
        """What is done with each, in order."""
        return map(do, things)


class Cluster:
    """The workers of a scheduler."""

    def __init__(self, client: object) -> None:
        self._client = client

    def each(self, do: Callable[[_Thing], _Result], things: Iterable[_Thing]) -> Iterator[_Result]:
        """What is done with each, as soon as it is done."""
        from distributed import KilledWorker, as_completed

        futures = self._client.map(do, list(things), pure=False)  # type: ignore[attr-defined]
        try:
            for future in as_completed(futures, loop=self._client.loop):  # type: ignore[attr-defined]
                try:
                    yield future.result()
                except KilledWorker:
                    raise Lost(f"{DEATHS} workers died one after another over the same scores") from None
                future.release()
        finally:
            self._client.cancel(futures)  # type: ignore[attr-defined]


@contextmanager
def workers(where: str | None) -> Iterator[Workers]:
    """`where` is a number of workers on this machine, or the address of a scheduler; None: this process.

    Raises Lost where there is no such scheduler, ModuleNotFoundError where Dask is not installed.
    """
    if where is None:
        yield Here()
        return
    import dask
    from distributed import Client, LocalCluster

    with dask.config.set({"distributed.scheduler.allowed-failures": DEATHS - 1, "distributed.admin.log-format": ""}):
        local = None
        try:
            if where.isdecimal():
                local = LocalCluster(
                    n_workers=max(1, min(int(where), 4 * (os.cpu_count() or 1))), threads_per_worker=1,
                    dashboard_address=None, silence_logs=50,
                )  # fmt: skip
            client = Client(local or where, timeout=PATIENCE if local is None else OWN, set_as_default=False)
        except (OSError, ValueError) as error:
            raise Lost(f"there is no scheduler at `{where}`") from error
        try:
            yield Cluster(client)
        finally:
            client.close()
            if local is not None:
                # A worker that is just begun anew cannot be ended, which Dask holds for impossible; it ends with us.
                with suppress(AssertionError):
                    local.close()
