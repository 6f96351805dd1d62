"""What will be made by ten tonight."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.questions.study import Study
from linesim.questions.study_options import QuestionError, StudyOptions, option

if TYPE_CHECKING:
    from linesim.report.answers import AnswerContent
    from linesim.scenario import Scenario
    from linesim.studies.runner import Runner


_USUAL = "+8h"


class ForecastOptions(StudyOptions):
    """From which state, until when, and what is to be reached."""

    state: str = option(
        "",
        "State file",
        "STATE is a file with the state of the line now; one to fill in is written by linesim"
        " state, or by its button in the window.",
        file=True,
        kinds="State files (*.toml)",
        argument=True,
        metavar="STATE",
        required=True,
    )
    until: str | None = option(
        None,
        "Until",
        "Until when: 22:00, 2026-03-03 06:00, or +6h after the moment of the state;"
        " otherwise 8 h after it.",
        metavar="TIME",
        empty=_USUAL,
    )
    target: str | None = option(
        None,
        "Reams to reach",
        "How likely so many good reams are made by then, those made before included.",
        metavar="REAMS",
        several=True,
    )
    band: float = option(
        80.0,
        "Band holds",
        "How much of what may come the band holds; 80 leaves 1 of 10 evenings below and 1 above.",
        unit="%",
        ge=50,
        le=99,
    )
    step_min: float = option(
        15.0,
        "A point every",
        "Time from one point of the curve to the next.",
        unit="min",
        ge=1,
        le=240,
    )


def _answer(scenario: Scenario, runner: Runner, options: ForecastOptions, _: bool) -> AnswerContent:
    from linesim.report.answers.forecast import forecast_answer
    from linesim.scenario import load_state
    from linesim.studies.forecast import forecast, read_until

    if not options.state:
        raise QuestionError("state", "name the file with the state of the line")
    state = load_state(options.state, scenario)
    try:
        until = read_until(options.until or _USUAL, state.at)
    except ValueError as error:
        raise QuestionError("until", str(error)) from None
    found = forecast(
        scenario,
        runner,
        state,
        until,
        band=options.band / 100,
        step_min=options.step_min,
        targets=_targets(options.target),
    )
    return forecast_answer(scenario, found)


def _targets(text: str | None) -> list[int]:
    found = []
    for each in text.split(";") if text else ():
        digits = each.strip().replace(",", "").replace("_", "")
        if not (digits.isascii() and digits.isdigit() and len(digits) <= 12):
            raise QuestionError("target", f"{each.strip()!r} is no number of reams, such as 12000")
        found.append(int(digits))
    return found


STUDY = Study(
    name="forecast",
    position=85,
    title="By ten tonight",
    group="What is due",
    question="What will be made by then, from the state in which the line is now?",
    description="From a file with the state of the line at this moment: good reams by a time to"
    " come as a band, over time, the orders in hand, and which reels and rolls are due next.",
    example="short-bridge scenarios/states/short-bridge.toml --until 22:00 --target 19000",
    by_pace=True,
    options=ForecastOptions,
    answer=_answer,
    replications=200,
    no_long_run="a forecast begins with the state of the line: its start cannot be left out",
)
