"""Files spoilt as bytes, whatever they hold, and files that are none."""

from __future__ import annotations

import os
import random
from collections.abc import Callable
from pathlib import Path

BIG = 50_000_000


def spoilt(chance: random.Random, raw: bytes) -> bytes:
    """*raw* with one to five wrong things done to its bytes."""
    data = bytearray(raw)
    for _ in range(chance.choice((1, 1, 2, 3, 5))):
        chance.choice(_SPOILERS)(chance, data)
    return bytes(data)


def noise(chance: random.Random) -> bytes:
    """Random bytes, of any value or of some few that mean much."""
    length = chance.choice((0, 1, 2, 7, 100, 4096, 100_000))
    if chance.random() < 0.5:
        return chance.randbytes(length)
    signs = chance.choice((b"\x00\xff", b"\"'\\=[]{}.,#\n", b"PK\x03\x04\x05\x06", b';,\t\n\r"|'))
    return bytes(chance.choices(signs, k=length))


def odd_place(chance: random.Random, folder: Path, name: str) -> tuple[str, Path]:
    """What is no ordinary file, or is called what no file should be; and in a word what."""
    path = folder / name
    what = chance.choice(("folder", "loop", "pipe", "dangling", "nowhere", "device", "odd name"))
    if what == "folder":
        path.mkdir()
    elif what == "loop":
        path.symlink_to(path.name)
    elif what == "pipe":
        os.mkfifo(path)
    elif what == "dangling":
        path.symlink_to("gone")
    elif what == "device":
        path = Path(chance.choice(("/dev/zero", "/dev/null", "/proc/self/mem", "/dev/tty")))
    elif what == "odd name":
        path = folder / chance.choice(
            (
                "a\nb.toml",
                "\udcff\udcfe.toml",
                "[bold]x[nope].toml",
                "{0}%s.toml",
                "\u202ex.toml",
                "-",
            )
        )
        path.write_bytes(noise(chance))
    else:
        path = folder / chance.choice(("gone", "x" * 5000, "a\x00b", "gone/gone/gone"))
    return what, path


def _flip(chance: random.Random, data: bytearray) -> None:
    for _ in range(chance.choice((1, 1, 4, 40))):
        if data:
            data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)


def _overwrite(chance: random.Random, data: bytearray) -> None:
    at = chance.randrange(len(data) + 1)
    new = chance.randbytes(chance.choice((1, 2, 4, 50)))
    data[at : at + len(new)] = new


def _insert(chance: random.Random, data: bytearray) -> None:
    at = chance.randrange(len(data) + 1)
    data[at:at] = chance.choice(
        (
            chance.randbytes(chance.choice((1, 3, 20))),
            b"\x00",
            b"\xef\xbb\xbf",
            b"\r",
            b"\r\n",
            b"\xff\xfe",
            b"\xed\xa0\x80",
            b"\xf4\x90\x80\x80",
            b"\xc0\xaf",
            b'"',
            b"'''",
            b"[" * 50,
            b"9" * chance.choice((20, 400, 6000)),
            "\u202e\u200b\u0300\u2028\u0085".encode(),
            b"\x1b[2J\x07",
        )
    )


def _cut_out(chance: random.Random, data: bytearray) -> None:
    at = chance.randrange(len(data) + 1)
    del data[at : at + chance.choice((1, 3, 30, 1000))]


def _cut_off(chance: random.Random, data: bytearray) -> None:
    del data[chance.randrange(len(data) + 1) :]


def _again(chance: random.Random, data: bytearray) -> None:
    at = chance.randrange(len(data) + 1)
    part = bytes(data[at : at + chance.choice((5, 80, 2000))])
    to = chance.randrange(len(data) + 1)
    data[to:to] = part * chance.choice((1, 1, 2, 20))


def _swap(chance: random.Random, data: bytearray) -> None:
    a, b = (chance.randrange(len(data) + 1) for _ in range(2))
    size = chance.choice((1, 10, 100))
    first, second = bytes(data[a : a + size]), bytes(data[b : b + size])
    data[b : b + size], data[a : a + size] = first, second


def _line_ends(chance: random.Random, data: bytearray) -> None:
    data[:] = bytes(data).replace(b"\n", chance.choice((b"\r\n", b"\r", b"\n\n", b"\n\r", b"\x0b")))


_SPOILERS: tuple[Callable[[random.Random, bytearray], None], ...] = (
    _flip,
    _overwrite,
    _insert,
    _insert,
    _cut_out,
    _cut_off,
    _again,
    _swap,
    _line_ends,
)
