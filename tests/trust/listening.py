"""Which sockets some processes listen on, as Linux tells it."""

from __future__ import annotations

import os
from pathlib import Path

_LISTENS = "0A"
_RECEIVES = "07"


def family(pid: int) -> set[int]:
    """A process and all that it started."""
    children: dict[int, list[int]] = {}
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                parent = int((entry / "stat").read_text().rpartition(")")[2].split()[1])
            except OSError:
                continue
            children.setdefault(parent, []).append(int(entry.name))
    found, waiting = set(), [pid]
    while waiting:
        found.add(one := waiting.pop())
        waiting += children.get(one, [])
    return found


def listening(pids: set[int]) -> list[str]:
    """Addresses of the network on which any of the processes can be reached."""
    open_sockets: dict[str, str] = {}
    for kind, state in (
        ("tcp", _LISTENS),
        ("tcp6", _LISTENS),
        ("udp", _RECEIVES),
        ("udp6", _RECEIVES),
    ):
        for line in Path(f"/proc/net/{kind}").read_text().splitlines()[1:]:
            cells = line.split()
            if cells[3] == state:
                open_sockets[cells[9]] = f"{kind} {cells[1]}"
    found = []
    for pid in pids:
        try:
            handles = list(Path(f"/proc/{pid}/fd").iterdir())
        except OSError:
            continue
        for handle in handles:
            try:
                target = os.readlink(handle)
            except OSError:
                continue
            if target.startswith("socket:["):
                inode = target[len("socket:[") : -1]
                if inode in open_sockets:
                    found.append(f"process {pid}: {open_sockets[inode]}")
    return found
