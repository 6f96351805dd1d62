"""Thousands of wrong files of every kind, and what the program makes of each.

    python tests/trust/fuzz.py --cases 20000 --seed 1

Each case is one file, made from the seed and its number alone. It must be accepted, or refused in
the program's own words; in at most 10 s of processor time, 1,000 MB of memory, and with every
file of the user's left as it was. ``--kind`` and ``--only`` repeat one case, with its traceback.
Ends with 1 where a case fails.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
sys.path.insert(0, str(Path(__file__).parent))

import tests_of_this_clone  # noqa: F401

from tests.trust.cases import MAKERS, Seen, cases, one_case
from tests.trust.meeting import MEETINGS
from tests.trust.watching import MEMORY_LIMIT_MB, keep_memory_within

_BATCH = 500
_SILENT_S = 300.0


def _in_processes(args: argparse.Namespace) -> Iterator[Seen]:
    """All cases, in batches of one kind; each batch is a process of its own."""
    batches: list[tuple[str, int, int]] = []
    for kind in MAKERS:
        count = sum(each == kind for each, _ in cases(args.cases))
        batches += [(kind, at, min(at + _BATCH, count)) for at in range(0, count, _BATCH)]
    batches.reverse()
    running: list[_Batch] = []
    while batches or running:
        while batches and len(running) < args.processes:
            running.append(_Batch(args.seed, *batches.pop()))
        time.sleep(0.2)
        for batch in list(running):
            yield from batch.news()
            if batch.over:
                running.remove(batch)
                if batch.at < batch.end:
                    batches.append((batch.kind, batch.at, batch.end))


class _Batch:
    """A process that does the cases of one kind from ``at`` to ``end`` and tells of each."""

    def __init__(self, seed: int, kind: str, at: int, end: int) -> None:
        self.kind, self.at, self.end, self.over = kind, at, end, False
        words = [sys.executable, __file__, "--seed", str(seed), "--kind", kind]
        words += ["--batch", f"{at}:{end}"]
        self._files = contextlib.ExitStack()
        self._errors = self._files.enter_context(tempfile.TemporaryFile())  # noqa: SIM115
        self._said = self._files.enter_context(tempfile.TemporaryFile())  # noqa: SIM115
        self._process = subprocess.Popen(words, stdout=self._said, stderr=self._errors)
        self._heard = time.monotonic()
        self._read = 0

    def news(self) -> list[Seen]:
        """Cases that ended since; a process that died or hangs is a failure of its case."""
        ended = self._process.poll() is not None
        # Its place in the file is the process's own, too: reading must not move it.
        raw = os.pread(self._said.fileno(), 1_000_000, self._read)
        raw = raw[: raw.rfind(b"\n") + 1]
        self._read += len(raw)
        found = [Seen(**json.loads(row)) for row in raw.splitlines()]
        self.at += len(found)
        if found:
            self._heard = time.monotonic()
        silent = time.monotonic() - self._heard > _SILENT_S
        if silent and not ended:
            self._process.kill()
            self._process.wait()
        self.over = ended or silent
        if self.over and self.at < self.end:
            self._errors.seek(0)
            why = "hangs" if silent else f"ends the process ({self._process.returncode})"
            why += self._errors.read().decode(errors="replace")[-200:]
            found.append(Seen(self.kind, self.at, "?", "FAILED", why, 0.0, 0.0))
            self.at += 1
        if self.over:
            self._files.close()
        return found


def _do_batch(args: argparse.Namespace) -> None:
    at, _, end = args.batch.partition(":")
    with tempfile.TemporaryDirectory() as folder:
        one_case(args.kind, args.seed, int(at), Path(folder))  # what is loaded once is no case's
        keep_memory_within(1.5 * MEMORY_LIMIT_MB)
        for number in range(int(at), int(end)):
            print(json.dumps(asdict(one_case(args.kind, args.seed, number, Path(folder)))))
            sys.stdout.flush()


def _repeat(args: argparse.Namespace) -> None:
    with tempfile.TemporaryDirectory() as folder:
        chance = random.Random(f"{args.seed}/{args.kind}/{args.only}")
        place = Path(folder) / "case"
        place.mkdir()
        what, path = MAKERS[args.kind](chance, place)
        print(f"{what}: {path}")
        if args.save is not None:
            shutil.copyfile(path, args.save)
        print(MEETINGS[args.kind](chance, path))
    print(one_case(args.kind, args.seed, args.only, Path(tempfile.mkdtemp())))


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--cases", type=int, default=20_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--kind", choices=MAKERS)
    parser.add_argument("--only", type=int, help="with --kind: repeat this case")
    parser.add_argument("--save", type=Path, help="with --only: keep its file")
    parser.add_argument("--batch", help=argparse.SUPPRESS)
    args = parser.parse_args()
    if args.batch:
        _do_batch(args)
    elif args.only is not None:
        _repeat(args)
    else:
        sys.exit(_report(_in_processes(args)))


def _report(seen: Iterator[Seen]) -> int:
    counts: Counter[tuple[str, str, str]] = Counter()
    worst: dict[str, Seen] = {}
    heaviest: dict[str, Seen] = {}
    failed = 0
    try:
        for each in seen:
            counts[each.kind, each.what, each.found] += 1
            if each.found == "FAILED":
                failed += 1
                print(f"FAILED  {each.kind} {each.number} ({each.what}): {each.why}", flush=True)
            if each.cpu_s >= worst.setdefault(each.kind, each).cpu_s:
                worst[each.kind] = each
            if each.peak_mb >= heaviest.setdefault(each.kind, each).peak_mb:
                heaviest[each.kind] = each
    except KeyboardInterrupt:
        print("Stopped; the cases so far:")
    print(f"{'kind':<12}{'what was done':<34}{'accepted':>9}{'refused':>9}{'failed':>9}")
    for kind, what in sorted({(kind, what) for kind, what, _ in counts}):
        row = [counts[kind, what, found] for found in ("accepted", "refused", "FAILED")]
        print(f"{kind:<12}{what:<34}" + "".join(f"{count:>9}" for count in row))
    print(f"{'kind':<12}{'cases':>7}{'longest':>10}{'':<28}{'most memory':>12}")
    for kind in worst:
        total = sum(count for (each, _, _), count in counts.items() if each == kind)
        long, big = worst[kind], heaviest[kind]
        print(
            f"{kind:<12}{total:>7}{long.cpu_s:>8.2f} s  {long.what:<28}"
            f"{big.peak_mb:>8.0f} MB  {big.what}"
        )
    print(f"{counts.total()} cases, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    main()
