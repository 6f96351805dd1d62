"""Every package named has a lower and an upper bound: a new major version is taken on purpose."""

from __future__ import annotations

import tomllib
from pathlib import Path

_TOP = Path(__file__).resolve().parents[2]


def test_every_requirement_is_bounded_on_both_sides() -> None:
    project = tomllib.loads((_TOP / "pyproject.toml").read_text("utf-8"))
    named = [
        *project["build-system"]["requires"],
        *project["project"]["dependencies"],
        *(each for extra in project["project"]["optional-dependencies"].values() for each in extra),
    ]
    assert len(named) > 20
    for text in named:
        assert ">=" in text, text
        assert "<" in text, text
