"""Nothing listens on the network unless a cluster is asked for."""

from __future__ import annotations

import os
import socket
import sys
from pathlib import Path

import pytest

from linesim.studies.runner import Runner, Settings
from linesim.studies.study_file import StudyFile
from tests.studies.lines import quick_line
from tests.trust.listening import family, listening

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="asks Linux")


def test_a_socket_that_listens_is_seen() -> None:
    with socket.create_server(("127.0.0.1", 0)):
        assert len(listening({os.getpid()})) == 1


def test_a_study_in_processes_listens_nowhere(tmp_path: Path) -> None:
    before = set(listening(family(os.getpid())))
    seen: list[set[str]] = []
    processes: list[int] = []

    def look(_: object) -> None:
        alive = family(os.getpid())
        processes.append(len(alive))
        seen.append(set(listening(alive)))

    settings = Settings(replications=4, hours=0.5, processes=2)
    with (
        StudyFile(tmp_path / "a", scenario="s", name="n", program="p") as file,
        Runner(settings, file=file, progress=look) as runner,
    ):
        runner.outcomes({"line": quick_line()})
    assert max(processes) >= 3
    assert set().union(*seen) <= before
