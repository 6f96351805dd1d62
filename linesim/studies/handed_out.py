"""Specs handed to an executor, as many at a time as keep it busy, and their runs as they end."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, wait
from dataclasses import dataclass, field
from typing import NoReturn

from linesim.studies.cluster import BUNDLE_S, OnCluster
from linesim.studies.executors import InThisProcess, put_in_words, worth_asking
from linesim.studies.run_spec import RunSpec, make_run

_LOOK_S = 5.0
_LATE_S = 10.0
_LATE_TIMES = 4.0
"""What takes so much longer than anything did before is asked of another worker as well."""

Asking = Callable[[float], bool]


def make_runs(specs: Sequence[RunSpec], most_s: float) -> list[str]:
    """Make runs in their order until so much time has gone by; one at least."""
    began, found = time.monotonic(), list[str]()
    for spec in specs:
        found.append(make_run(spec))
        if time.monotonic() - began > most_s:
            break
    return found


def _make_one(specs: Sequence[RunSpec], *progress: Asking) -> list[str]:
    return [make_run(specs[0], *progress)]


@dataclass
class _Flight:
    """Runs, by their numbers, that one worker was asked for."""

    numbers: Sequence[int]
    since: float = field(default_factory=time.monotonic)
    asked_again: bool = False


class HandedOut:
    """The runs of some specs. Who makes them may be slow or die: the same spec gives the same run.

    ``progress`` is told how far a run in this process is, and may stop it by raising.
    """

    def __init__(
        self, executor: Executor, specs: Sequence[RunSpec], in_flight: int, progress: Asking
    ) -> None:
        self._executor, self._in_flight, self._progress = executor, in_flight, progress
        self._cluster = executor if isinstance(executor, OnCluster) else None
        self._specs = specs
        self._waiting = list(range(len(specs)))[::-1]
        self._flying: dict[Future[list[str]], _Flight] = {}
        self._ended: set[int] = set()
        self._longest_s = 0.0
        self._asked_again = False

    @property
    def left(self) -> bool:
        """Whether runs are still to come."""
        return bool(self._waiting or self._flying)

    def ended(self, pause_s: float | None) -> Iterator[list[tuple[RunSpec, str]]]:
        """Hand out what there is room for, wait so long for runs to end, and give those.

        Runs that came together are given together.

        Errors of those who make the runs come in words where they are known.
        """
        if self._cluster is not None:
            self._cluster.check()
            pause_s = _LOOK_S if pause_s is None else pause_s
        self._hand_out()
        done, _ = wait(self._flying, timeout=pause_s, return_when=FIRST_COMPLETED)
        for future in done:
            flight = self._flying.pop(future)
            self._longest_s = max(self._longest_s, time.monotonic() - flight.since)
            try:
                texts = future.result()
            except Exception as error:
                self._raise_in_words(error)
            # A worker gives back what it found no time for.
            self._waiting += reversed(flight.numbers[len(texts) :])
            yield self._new(flight.numbers, texts)

    def ended_meanwhile(self) -> Iterator[list[tuple[RunSpec, str]]]:
        """What ended and was not given yet, where nobody waits for the rest."""
        for future, flight in self._flying.items():
            if future.done() and not future.cancelled() and future.exception() is None:
                yield self._new(flight.numbers, future.result())

    def cancel(self) -> None:
        """Nobody waits for what is still in flight."""
        for future in self._flying:
            future.cancel()

    def _new(self, numbers: Sequence[int], texts: list[str]) -> list[tuple[RunSpec, str]]:
        made = zip(numbers, texts, strict=False)
        new = {number: text for number, text in made if number not in self._ended}
        self._ended.update(new)
        return [(self._specs[number], text) for number, text in new.items()]

    def _hand_out(self) -> None:
        cluster = self._cluster
        room = self._in_flight if cluster is None else 2 * cluster.workers
        while self._waiting and len(self._flying) < room:
            count = 1 if cluster is None else cluster.bundle(len(self._waiting))
            self._send(self._still_open(self._waiting[: -count - 1 : -1]))
            del self._waiting[-count:]
        if cluster is not None and not self._waiting:
            self._ask_again_for_what_is_late()
        if self._asked_again:
            self._drop_what_others_made()

    def _ask_again_for_what_is_late(self) -> None:
        late_s = max(_LATE_S, _LATE_TIMES * self._longest_s)
        for flight in list(self._flying.values()):
            if not flight.asked_again and time.monotonic() - flight.since > late_s:
                flight.asked_again = self._asked_again = True
                self._send(self._still_open(flight.numbers))

    def _drop_what_others_made(self) -> None:
        for future, flight in list(self._flying.items()):
            if self._ended.issuperset(flight.numbers):
                future.cancel()
                del self._flying[future]

    def _still_open(self, numbers: Sequence[int]) -> list[int]:
        return [number for number in numbers if number not in self._ended]

    def _send(self, numbers: Sequence[int]) -> None:
        specs = [self._specs[number] for number in numbers]
        if not specs:
            return
        try:
            if self._cluster is not None:
                future = self._executor.submit(make_runs, specs, BUNDLE_S)
            elif type(self._executor) is InThisProcess and worth_asking(
                specs[0].warm_up_h + specs[0].hours
            ):
                # Only a run in this process can say how far it is, and be stopped in the middle.
                future = self._executor.submit(_make_one, specs, self._progress)
            else:
                future = self._executor.submit(_make_one, specs)
        except Exception as error:
            self._raise_in_words(error)
        self._flying[future] = _Flight(numbers)

    def _raise_in_words(self, error: Exception) -> NoReturn:
        """What those who make the runs raise, in words; not what a file does, or a listener."""
        said = put_in_words(error, self._executor)
        if said is error:
            raise error
        raise said from None
