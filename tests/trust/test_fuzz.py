"""Some hundred of the wrong files that ``tests/trust/fuzz.py`` makes by the thousand."""

import random
from pathlib import Path

import pytest

from tests.trust.cases import MAKERS, cases, one_case

_SEED = 11


@pytest.mark.parametrize("kind", MAKERS)
def test_a_wrong_file_is_refused_in_plain_words_and_left_as_it_is(
    kind: str, tmp_path: Path, qapp: object
) -> None:
    numbers = [number for each, number in cases(300) if each == kind]
    seen = [one_case(kind, _SEED, number, tmp_path) for number in numbers]
    failed = [each for each in seen if each.found == "FAILED"]
    assert not failed
    assert any(each.found == "refused" for each in seen)


@pytest.mark.parametrize("kind", MAKERS)
def test_a_case_can_be_repeated(kind: str, tmp_path: Path) -> None:
    def made(folder: Path) -> tuple[str, bytes | None]:
        folder.mkdir()
        what, path = MAKERS[kind](random.Random("again"), folder)
        return what, path.read_bytes() if path.is_file() else None

    first = made(tmp_path / "a")
    if kind in ("stop log", "production") and first[0].startswith("workbook"):
        pytest.skip("a workbook holds the time at which it was made")
    assert made(tmp_path / "b") == first
