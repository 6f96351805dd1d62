"""The window among the programs of a desktop: an entry, an icon, and scenarios as a kind of file.

By the XDG standards of entries, icons and kinds of files, for who has installed a wheel or
unpacked a bundle. It says where the program is now; moved, it is to be put again.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import linesim

KIND = "application/x-linesim-scenario"
_ICON = Path(__file__).parent / "look" / "icons" / "linesim.svg"
_ENTRY = """[Desktop Entry]
Type=Application
Version=1.4
Name=linesim
GenericName=Simulation of a sheeting line
Comment=What a sheeting-and-wrapping line will really deliver, and why
Exec={command} %f
Icon=linesim
Terminal=false
Categories=Science;Engineering;
Keywords=paper;line;simulation;scenario;
MimeType={kind};application/toml;
StartupNotify=true
"""
# Any TOML file may be a scenario and can be opened by this program; only those named so are taken
# for nothing else.
_KINDS = """<?xml version="1.0" encoding="UTF-8"?>
<mime-info xmlns="http://www.freedesktop.org/standards/shared-mime-info">
  <mime-type type="{kind}">
    <comment>linesim scenario</comment>
    <sub-class-of type="application/toml"/>
    <icon name="linesim"/>
    <glob pattern="*.linesim.toml"/>
  </mime-type>
</mime-info>
"""


def put(command: Sequence[str]) -> tuple[Path, ...]:
    """Put the window among the desktop's programs, started by ``command``; the files written.

    Raises ``OSError`` where one cannot be written.
    """
    contents = {
        linesim.folders.entry_file(): _ENTRY.format(command=as_exec(command), kind=KIND),
        linesim.folders.kinds_file(): _KINDS.format(kind=KIND),
        linesim.folders.icon_file(): _ICON.read_text(encoding="utf-8"),
    }
    for file, text in contents.items():
        file.parent.mkdir(parents=True, exist_ok=True)
        linesim.files.write_text(file, text)
    linesim.platforms.refresh_desktop(linesim.folders.desktop_folder())
    return tuple(contents)


def remove() -> tuple[Path, ...]:
    """Take it out again; the files that were there. Raises ``OSError`` where that fails."""
    gone = tuple(linesim.folders.remove(linesim.folders.places(linesim.folders.ENTRY)))
    linesim.platforms.refresh_desktop(linesim.folders.desktop_folder())
    return gone


def as_exec(command: Sequence[str]) -> str:
    """A command as an entry has it.

    >>> as_exec(["/opt/line sim/linesim-window", "-x"])
    '"/opt/line sim/linesim-window" "-x"'
    """
    return " ".join(f'"{_escaped(part)}"' for part in command)


def _escaped(part: str) -> str:
    # Within quotes four signs are escaped, and the whole is a string in which a backslash is, too.
    for sign in '\\"`$':
        part = part.replace(sign, f"\\{sign}")
    return part.replace("\\", "\\\\").replace("%", "%%")
