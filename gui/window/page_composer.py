"""The page about what is on screen: its words, figures and drawings, taken from the views."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, TypedDict

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QPainter

import linesim
from gui.document import Document
from gui.plan.drawing import draw_plan
from gui.shift import ShownShift
from gui.window.page_list import PAGES
from gui.window.page_switcher import PageSwitcher
from gui.window.printed_page import LOOK, SHARPNESS, Draw, PrintedPage

if TYPE_CHECKING:
    from gui.charts import ChartWidget
    from gui.lessons.attempt import Attempt
    from gui.lessons.picture import LessonPicture
    from gui.logs import StopLogPage
    from gui.pages import StudyPage
    from gui.plan import PlanView
    from gui.strip import StripView


class AnswerOnPaper(TypedDict):
    """What an answer's page is made of; ``remarks`` stand against taking it for the last word."""

    scenario: linesim.scenario.Scenario
    answer: linesim.report.Answer
    remarks: tuple[str, ...]


class PageComposer:
    """Puts together what is printed of the page that is looked at."""

    def __init__(self, document: Document, shown: ShownShift, pages: PageSwitcher) -> None:
        self._document, self._shown, self._pages = document, shown, pages

    def page(self) -> PrintedPage | None:
        """The page about what the window shows; None where that is a run, and there is none."""
        from gui.headline.page import LossesPage
        from gui.lessons import LessonsPage
        from gui.logs import StopLogPage
        from gui.pages import StudyPage

        current = self._pages.current
        if isinstance(current, LessonsPage) and current.attempt is not None:
            return self._lesson_page(current.attempt, current.picture)
        if isinstance(current, StudyPage):
            return self._answer_page(current)
        if isinstance(current, StopLogPage):
            return self._log_page(current)
        record = self._shown.record
        if record is None:
            return None
        drawings: tuple[tuple[int, Draw], ...]
        words = [_run_words(record), *self._state_words()]
        if isinstance(current, LossesPage):
            drawings = tuple((1, _of(part)) for part in (current.losses, current.rates))
        else:
            shift = self._pages.shift
            # Below the strip what stands there on screen: the gap by cause, or of a stop the line.
            gap = shift.below.currentWidget() is shift.gap
            below = _of(shift.gap) if gap else _of_plan(shift.plan, self._shown)
            drawings = ((3, _of_strip(shift.strip)), (2, below))
            words += [shift.told_story] if shift.told_story else []
            words += self._stop_words()
        figures_now = self._pages.shift.headline.now
        glance = linesim.report.glance(figures_now) if figures_now is not None else None
        figures = (
            () if glance is None else tuple((each.name, each.value) for each in glance.figures)
        )
        if glance is not None:
            figures += (("holds the line", glance.holds),)
        return PrintedPage(
            title=record.scenario.line.name or self._document.name,
            words=tuple(words),
            figures=figures,
            basis="" if glance is None else f"{linesim.report.capital(glance.basis)}.",
            drawings=drawings,
            notes=self._notes(invented=record.scenario.line.invented),
        )

    def answered(self) -> AnswerOnPaper | None:
        """The answer on the page that is looked at; None where it shows none.

        Of a log that is what was fitted, with the picture that is looked at.
        """
        from gui.logs import StopLogPage
        from gui.pages import StudyPage

        page = self._pages.current
        if isinstance(page, StopLogPage):
            fitted, chart = page.work.fitted, page.tabs.fits.chart_view
            if fitted is None or fitted.fits.scenario is None:
                return None
            charts = () if chart is None or chart.chart is None else (chart.chart,)
            return {
                "scenario": fitted.fits.scenario,
                "answer": replace(fitted.answer, charts=charts),
                "remarks": (),
            }
        if not isinstance(page, StudyPage):
            return None
        answer, scenario = page.answer_view.answer, page.answered
        if answer is None or scenario is None:
            return None
        return {"scenario": scenario, "answer": answer, "remarks": page.caveats}

    def _answer_page(self, page: StudyPage) -> PrintedPage:
        """The answer; before there is one the question, what is set and what is to be done."""
        answer, chart = page.answer_view.answer, page.answer_view.chart_view
        if answer is None:
            return self._page_without(page.told)
        about = page.answered
        return PrintedPage(
            title=self._title,
            words=(*answer.words, *page.caveats),
            drawings=((1, _of(chart)),) if chart is not None else (),
            notes=self._notes(invented=about is not None and about.line.invented),
        )

    def _log_page(self, page: StopLogPage) -> PrintedPage:
        """What is read of the log, and of its fits the words and the picture looked at."""
        fitted, chart = page.work.fitted, page.tabs.fits.chart_view
        if fitted is None:
            return self._page_without(page.told)
        return PrintedPage(
            title=self._title,
            words=fitted.answer.words,
            drawings=((1, _of(chart)),) if chart is not None else (),
            notes=self._notes(invented=self._invented),
        )

    def _page_without(self, words: tuple[str, ...]) -> PrintedPage:
        """A page of the window on which there is nothing yet but what it says of itself."""
        return PrintedPage(
            title=self._title, words=words, notes=self._notes(invented=self._invented)
        )

    @property
    def _title(self) -> str:
        return PAGES[self._pages.list.name].title

    @property
    def _invented(self) -> bool:
        scenario = self._document.scenario
        return scenario is not None and scenario.line.invented

    def _lesson_page(self, attempt: Attempt, picture: LessonPicture) -> PrintedPage:
        """The question with what the sum needs; once it is answered, what happens and why."""
        lesson, truth = attempt.lesson, attempt.truth
        drawings: list[tuple[int, Draw]] = [(2, _of_plan(picture.plan, picture.shown))]
        words: tuple[str, ...] = (_one_line(lesson.story), lesson.asks)
        if truth is not None:
            drawings.insert(0, (3, _of_strip(picture.strip)))
            told = linesim.report.truth_words(lesson, truth, attempt.given)
            sums = ("The sum on paper:", *truth.sum.steps)
            words = (lesson.asks, *told, _one_line(lesson.afterwards), *sums)
        return PrintedPage(
            title=lesson.title,
            words=words,
            figures=linesim.report.lesson_figures(lesson, attempt.scenario),
            drawings=tuple(drawings),
            notes=self._notes(attempt.path, invented=lesson.invented),
        )

    def _state_words(self) -> list[str]:
        if self._document.faults:
            return ["The scenario has faults: this is its last run without."]
        if self._document.dirty:
            return [f"{self._document.name} has changes that are not saved."]
        return []

    def _stop_words(self) -> list[str]:
        page = self._pages.shift
        looked_at = page.strip.canvas.window_of_time
        words = [page.stop_effect] if page.stop_effect else []
        if (looked_at.start_ns, looked_at.end_ns) != (looked_at.first_ns, looked_at.last_ns):
            start, end = (
                linesim.report.clock_words(t, looked_at.starts)
                for t in (looked_at.start_ns, looked_at.end_ns)
            )
            words.append(f"The strip shows {start} to {end} of it.")
        return words

    def _notes(self, of: Path | None = None, *, invented: bool) -> tuple[str, ...]:
        """``of`` is the file that it is about, where that is not the scenario."""
        file = of or self._document.path
        made = f"linesim {linesim.__version__}"
        if file is not None:
            made += f", from {file.name}"
        return (
            *linesim.report.CAUTIONS,
            *([linesim.report.INVENTED] if invented else []),
            f"{made}.",
        )


def _of_strip(strip: StripView) -> Draw:
    def draw(painter: QPainter, size: QSize) -> None:
        picture = strip.canvas.picture(size, LOOK, SHARPNESS)
        if picture is not None:
            picture.paint(painter)

    return draw


def _of_plan(plan: PlanView, shown: ShownShift) -> Draw:
    def draw(painter: QPainter, size: QSize) -> None:
        picture = plan.picture
        moment, record = picture.moment(), shown.record
        if moment is None or record is None:
            return
        area = (float(size.width()), float(size.height()))
        draw_plan(painter, area, record.scenario, moment, LOOK, picture.other(), picture.beside)

    return draw


def _one_line(words: str) -> str:
    return " ".join(words.split())


def _run_words(record: linesim.record.Record) -> str:
    return (
        f"Run no. {record.replication} of {record.hours:g} h of simulated time, seed {record.seed}."
    )


def _of(chart: ChartWidget) -> Draw:
    return lambda painter, size: chart.print_into(
        painter, QRectF(0, 0, size.width(), size.height())
    )
