"""Machine code made ready in a process whose memory is taken here and there."""

from __future__ import annotations

import subprocess
import sys

import pytest

_CROWDED = """
import mmap
from linesim.fast import kept_engine
from linesim.fast.machine_code import load

code = kept_engine.file().read_bytes()[32:]  # after its checksum
# Three gigabytes of addresses between one engine and the next; no memory is used.
no_reserve = 0x4000
flags = mmap.MAP_PRIVATE | mmap.MAP_ANONYMOUS | no_reserve
taken = []
for _ in range(60):
    taken.append(mmap.mmap(-1, 3000 << 20, flags=flags))
    load(code)
"""


@pytest.mark.skipif(sys.platform != "linux", reason="takes addresses as Linux gives them")
def test_it_is_loaded_however_little_room_there_is_side_by_side() -> None:
    done = subprocess.run([sys.executable, "-c", _CROWDED], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr[-400:]
