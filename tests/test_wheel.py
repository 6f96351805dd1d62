"""A wheel has all that the program needs of the clone, and nothing else."""

from __future__ import annotations

import zipfile
from importlib.metadata import PathDistribution
from pathlib import Path

import pytest
from hatchling.builders.wheel import WheelBuilder

CLONE = Path(__file__).parent.parent


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> zipfile.Path:
    folder = tmp_path_factory.mktemp("wheel")
    (built,) = WheelBuilder(str(CLONE)).build(directory=str(folder), versions=["standard"])
    return zipfile.Path(built)


def _files(folder: str) -> set[str]:
    return {
        path.relative_to(CLONE).as_posix()
        for path in (CLONE / folder).rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }


def test_it_has_every_file_of_the_program_and_of_the_demos_and_no_other(wheel: zipfile.Path):
    wanted = {
        name.replace("scenarios/", "linesim/scenarios_shipped/", 1)
        if name.startswith("scenarios/")
        else name
        for folder in ("linesim", "gui", "scenarios")
        for name in _files(folder)
    }
    found = {
        name for name in wheel.root.namelist() if ".dist-info/" not in name and name[-1] != "/"
    }
    assert found == wanted
    # Not only modules: fonts with their licence, the page, icons, help, demos, lessons, a log.
    kinds = {Path(name).suffix for name in found}
    assert {".ttf", ".css", ".html", ".svg", ".md", ".toml", ".csv", ".pyi"} <= kinds
    assert "linesim/report/page/fonts/LICENSE_DEJAVU" in found


def test_both_commands_come_with_it(wheel: zipfile.Path) -> None:
    (info,) = (each for each in wheel.iterdir() if each.name.endswith(".dist-info"))
    commands = {e.name: (e.group, e.value) for e in PathDistribution(info).entry_points}
    assert commands == {
        "linesim": ("console_scripts", "linesim.__main__:main"),
        "linesim-window": ("gui_scripts", "gui.__main__:main"),
    }
