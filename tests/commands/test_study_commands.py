"""Commands made from declarations: what is typed arrives as the options of the study."""

from __future__ import annotations

from typing import Any

import pytest
from click.testing import CliRunner

from linesim.commands import main, study_commands
from linesim.questions import STUDIES, Question

NEEDED = {
    "forecast": ["now.toml"],
    "compare": ["orders"],
    "meet-target": ["--reams-per-week", "1000"],
    "validate": ["--against", __file__],
    "vary": ["bridge.places=20:120:6"],
}


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[Any]:
    """What would have been asked: questions, and the settings of all studies."""
    found: list[Any] = []

    def noted(ctx: Any, study: Any, given: Any, scenarios: Any, settings: Any) -> None:
        found.extend((Question(study.name, given), list(scenarios), settings))

    monkeypatch.setattr(study_commands, "run_study", noted)
    return found


def call(*words: str) -> str:
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 0, result.output
    return result.output


@pytest.mark.parametrize("study", STUDIES.values(), ids=lambda study: study.name)
def test_what_is_not_typed_is_as_declared(study: Any, asked: list[Any]) -> None:
    call(study.name, "short-bridge", *NEEDED.get(study.name, []))
    question, scenarios, settings = asked
    needed = {name for name, each in study.options.declared().items() if each.required}
    as_declared = study.options.model_validate({}).model_dump(exclude=needed)
    assert question.options.model_dump(exclude=needed) == as_declared
    assert scenarios == (["short-bridge", "orders"] if study.several else [""])
    assert settings["replications"] == study.replications
    # No option of a study hides one that all have.
    assert not set(settings) & set(study.options.declared())


@pytest.mark.parametrize(
    ("words", "options"),
    [
        (
            "size-bridge short-bridge --places 10,20 --points 5 --fraction 1 --years 4 --no-levels",
            {"places": "10,20", "points": 5, "fraction_percent": 1, "years": 4, "levels": False},
        ),
        (
            "add-wrapper short-bridge --payback-years 2 --years 8",
            {"payback_years": 2, "years": 8},
        ),
        (
            "plan-orders orders --sequence 2,1 --sequence 1,2 --hours 8",
            {"sequences": "2,1;1,2", "find_hours": False},
        ),
        (
            f"validate orders --against {__file__} --cause a=b --cause c=d --dates day-first"
            " --from 2026-03-01",
            {
                "against": __file__,
                "causes": "a=b;c=d",
                "dates": "day-first",
                "since": "2026-03-01",
            },
        ),
        (
            "vary orders crew.size=1,2 bridge.places=6,9",
            {"fields": ("crew.size=1,2", "bridge.places=6,9")},
        ),
    ],
)
def test_what_is_typed_arrives(words: str, options: dict[str, Any], asked: list[Any]) -> None:
    name, *arguments = words.split()
    call(name, *arguments)
    assert asked[0] == Question(name, options)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("size-bridge short-bridge --points 2", "2 is not in the range 3<=x<=100"),
        ("meet-target short-bridge --reams-per-week 0", "0.0 is not in the range 0<x<="),
        ("meet-target short-bridge", "Missing option '--reams-per-week'"),
        ("add-wrapper short-bridge --uncertain demand=5", "--uncertain is no longer there: prices"),
        ("validate short-bridge", "Missing option '--against'"),
        ("vary short-bridge", "Missing argument 'SECTION.FIELD=FROM:TO:COUNT...'"),
        ("compare orders orders", "two or more different scenarios"),
    ],
)
def test_what_cannot_be_asked_is_said_with_the_flag_that_was_typed(
    words: str, said: str, cache: Any
) -> None:
    result = CliRunner().invoke(main, words.split())
    assert result.exit_code == 2, result.output
    assert said in " ".join(result.stderr.split())


def test_help_is_what_is_declared() -> None:
    study = STUDIES["what-holds"]
    said = " ".join(call("what-holds", "--help").split())
    for text in (f"{study.title}.", study.description, "--step PERCENT How much faster"):
        assert text in said
