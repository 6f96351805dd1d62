"""What a kept run is known by: the scenario, the seed, and every module that decides a run."""

from __future__ import annotations

import ast
import shutil
from pathlib import Path

import linesim
from linesim.studies.run_spec import digest_of_package, modules_that_decide_a_run, program_digest

PACKAGE = Path(linesim.__file__).parent


def _imported_by(module: Path) -> set[Path]:
    """The modules of the package that a module imports, anywhere in it."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            names |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
        elif isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
    found = set()
    for name in names:
        if name.startswith("linesim."):
            place = PACKAGE.joinpath(*name.split(".")[1:])
            found |= {place.with_suffix(".py"), place / "__init__.py"}
    return {each for each in found if each.is_file()}


def _loaded_for_a_run() -> set[Path]:
    """``linesim.studies.run_spec`` and all it leads to; the compiler takes every compiled rule."""
    loaded: set[Path] = set()
    to_read = {PACKAGE / "studies" / "run_spec.py", *(PACKAGE / "fast").rglob("*.py")}
    while to_read:
        module = to_read.pop()
        loaded.add(module)
        to_read |= _imported_by(module) - loaded
    return loaded


def test_every_module_that_a_run_loads_is_in_the_digest() -> None:
    loaded = _loaded_for_a_run()
    known = {
        "fast/compiling.py",
        "line/webs.py",
        "line/wrapper.py",
        "paper/reels.py",
        "record/effectiveness.py",
        "scenario/goods.py",
        "scenario/residual_life.py",
        "studies/waiting.py",
    }
    assert {PACKAGE / name for name in known} <= loaded
    assert loaded <= set(modules_that_decide_a_run(PACKAGE))


def test_an_edit_of_any_of_them_is_another_program(tmp_path: Path) -> None:
    copy = tmp_path / "linesim"
    shutil.copytree(PACKAGE, copy, ignore=shutil.ignore_patterns("__pycache__", "report"))
    unedited = digest_of_package(copy)
    assert unedited == program_digest()
    modules = modules_that_decide_a_run(copy)
    seen = {unedited}
    for module in modules:
        text = module.read_bytes()
        module.write_bytes(text + b"# edited\n")
        seen.add(digest_of_package(copy))
        module.write_bytes(text)
    assert len(seen) == len(modules) + 1
