"""What a cluster costs: weeks by workers of this machine against one process, and what limits more.

``python tests/benchmarks/cluster.py --weeks 10000`` runs the same weeks twice and prints the ratio,
whether the bytes agree, and what one run costs the program that asks: that decides how many workers
it can keep busy.
"""

from __future__ import annotations

import argparse
import hashlib
import pickle
import sys
import tempfile
import time
from dataclasses import dataclass, replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "trust"))

import tests_of_this_clone  # noqa: F401

from linesim.scenario import find_scenario, load
from linesim.studies.run_spec import make_run, spec_of
from linesim.studies.runner import Runner, Settings
from linesim.studies.study_file import StudyFile

WORKERS = 1000
BUNDLE = 200


@dataclass(frozen=True)
class Timed:
    """How long the weeks took, s of the clock and of this process, and a digest of them all."""

    clock_s: float
    here_s: float
    digest: str


def timed(weeks: int, scenario: str, processes: int, cluster: str | None) -> Timed:
    """Make the weeks with a study file, as a study would."""
    line = load(find_scenario(scenario))
    settings = Settings(
        replications=weeks, most=weeks, processes=processes, cluster=cluster, hours=168.0
    )
    with tempfile.TemporaryDirectory() as folder:
        file = StudyFile(Path(folder) / "a.sqlite", scenario="s", name="n", program="p")
        began, here = time.perf_counter(), time.process_time()
        with file, Runner(settings, file=file) as runner:
            rows = runner.outcomes({"line": line})["line"]
        clock_s, here_s = time.perf_counter() - began, time.process_time() - here
    return Timed(
        clock_s, here_s, hashlib.sha256("\n".join(r.text() for r in rows).encode()).hexdigest()
    )


def cost_of_asking(scenario: str) -> tuple[float, float, float, float]:
    """Of one run, in bundles: s of processor and clock to keep it, bytes there and back."""
    spec = spec_of(load(find_scenario(scenario)), seed=1, replication=0, hours=168.0)
    text = make_run(spec)
    bundles = [
        [replace(spec, replication=n) for n in range(at, at + BUNDLE)]
        for at in range(0, 10 * BUNDLE, BUNDLE)
    ]
    with tempfile.TemporaryDirectory() as folder:
        file = StudyFile(Path(folder) / "a.sqlite", scenario="s", name="n", program="p")
        with file, Runner(Settings(), file=file) as runner:
            began, here = time.perf_counter(), time.process_time()
            for bundle in bundles:
                pickle.dumps(bundle)
                runner._keep([(each, text) for each in pickle.loads(pickle.dumps(bundle))])
            clock_s, here_s = time.perf_counter() - began, time.process_time() - here
    runs = len(bundles) * BUNDLE
    return here_s / runs, clock_s / runs, len(pickle.dumps(bundles[0])) / BUNDLE, len(text)


def main() -> None:
    """Run and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--weeks", type=int, default=1000)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--scenario", default="short-bridge")
    given = parser.parse_args()
    alone = timed(given.weeks, given.scenario, 1, None)
    print(f"{given.weeks} weeks of {given.scenario}")
    print(f"one process                {alone.clock_s:8.1f} s, {alone.here_s:.1f} s of processor")
    there = timed(given.weeks, given.scenario, given.workers, "local")
    print(
        f"{given.workers} workers of a cluster     {there.clock_s:8.1f} s,"
        f" {there.here_s:.1f} s of processor where it is asked"
    )
    print(f"ratio                      {alone.clock_s / there.clock_s:8.2f}")
    print(f"the same bytes             {'yes' if alone.digest == there.digest else 'NO'}")
    here_s, clock_s, out, back = cost_of_asking(given.scenario)
    week_s = alone.here_s / given.weeks
    print(
        f"of one run: {week_s * 1e3:.1f} ms to make; to keep {here_s * 1e3:.2f} ms of processor,"
        f" {clock_s * 1e3:.2f} ms of the clock; {out:.0f} bytes out, {back:.0f} back"
    )
    print(
        f"so one asking program keeps {week_s / max(here_s, clock_s):.0f} workers busy;"
        f" {WORKERS} would send it {WORKERS / week_s * back / 1e6:.0f} MB/s"
    )


if __name__ == "__main__":
    main()
