"""The notebooks in ``scenarios/notebooks`` run from top to bottom, as they are."""

from __future__ import annotations

import ast
import json
from pathlib import Path
from typing import Any

import matplotlib
import pytest
from matplotlib import pyplot

NOTEBOOKS = sorted((Path(__file__).parents[2] / "scenarios" / "notebooks").glob("*.ipynb"))


def cells(notebook: Path, kind: str) -> list[dict[str, Any]]:
    data = json.loads(notebook.read_text("utf-8"))
    assert data["nbformat"] == 4
    return [cell for cell in data["cells"] if cell["cell_type"] == kind]


def shown_by(source: str, names: dict[str, Any]) -> Any:
    """Run a cell; what its last line gives, as a notebook shows it."""
    body = ast.parse(source).body
    last = body.pop() if isinstance(body[-1], ast.Expr) else None
    exec(compile(ast.Module(body, []), "cell", "exec"), names)
    if not isinstance(last, ast.Expr):
        return None
    value = eval(compile(ast.Expression(last.value), "cell", "eval"), names)
    html = getattr(value, "_repr_html_", None)
    return value if html is None else html()


@pytest.mark.parametrize("notebook", NOTEBOOKS, ids=lambda path: path.stem)
def test_it_runs(notebook: Path, capsys: pytest.CaptureFixture[str]) -> None:
    matplotlib.use("Agg")
    names: dict[str, Any] = {}
    shown = [shown_by("".join(cell["source"]), names) for cell in cells(notebook, "code")]
    tables = [each for each in shown if isinstance(each, str) and "<table" in each]
    assert tables
    assert pyplot.get_fignums() or "report" in notebook.read_text("utf-8")
    pyplot.close("all")


@pytest.mark.parametrize("notebook", NOTEBOOKS, ids=lambda path: path.stem)
def test_it_keeps_no_figures_of_another_version_and_says_what_is_invented(notebook: Path) -> None:
    assert all(cell["outputs"] == [] for cell in cells(notebook, "code"))
    assert "invented" in "".join(cells(notebook, "markdown")[0]["source"])


def test_there_are_three() -> None:
    assert len(NOTEBOOKS) == 3
