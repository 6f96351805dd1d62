"""The page of the bridge study: a curve that grows where its slider rests."""

from __future__ import annotations

from typing import Any

from PySide6.QtWidgets import QWidget

import linesim
from gui.charts import ChartMark
from gui.document import Document
from gui.pages.answer_view import AnswerView
from gui.pages.size_readout import SizeReadout
from gui.pages.size_slider import SizeSlider
from gui.pages.study_page import StudyPage
from gui.workers import Task, Worker, WorkerPool

STUDY = "size-bridge"
_KEPT = "Lengths between are not run from a kept study; Start makes the curve anew."
_STOPPED = "Lengths between are run when the curve is complete; Start goes on."
_LATER = "This length is run when the curve is complete."


class SizePage(StudyPage):
    """As every study page, with a slider below the curve."""

    def __init__(self, document: Document, pool: WorkerPool, parent: QWidget | None = None) -> None:
        self._worker: Worker | None = None
        self._question: dict[str, Any] | None = None
        self._can_grow = False
        self.sizes: linesim.report.BridgeSizes | None = None
        """The lengths on the curve; None while there is no curve."""
        self._more: tuple[int, Task] | None = None
        self._by_hand = False
        """Whether the slider is where somebody put it."""
        super().__init__(document, pool, STUDY, parent)

    def _make_answer_view(self) -> AnswerView:
        self.slider = SizeSlider()
        self.readout = SizeReadout()
        self.slider.moved.connect(self._moved)
        self.slider.rested.connect(self._rested)
        self.slider.write_asked.connect(self._write)
        view = AnswerView(below_charts=self.slider, first_tab=self.readout)
        view.charts.currentChanged.connect(self._lie_along)
        view.dragged.connect(lambda places: self.slider.slider.setValue(round(places)))
        return view

    @property
    def growing(self) -> bool:
        """Whether the length of the slider is being run."""
        return self._more is not None

    # -- asking -----------------------------------------------------------------------------

    def _submit(self, asked: dict[str, Any]) -> Task:
        self._cancel_more()
        self._question, self._can_grow = asked, False
        if self._worker is None:
            self._worker = self._pool.reserve_worker()
        return self._worker.submit("ask_sizes", **asked)

    def _moved(self, places: int) -> None:
        self._by_hand = True
        self._show_size()
        self._update_write()

    def _rested(self, places: int) -> None:
        sizes = self.sizes
        if sizes is None or (self._more is not None and self._more[0] == places):
            return
        self._cancel_more()
        if places in sizes.run:
            self.slider.show_status("")
        elif self._task is not None:
            self.slider.show_status(_LATER)
        elif not self._can_grow:
            self.slider.show_status(_KEPT if self._question is None else _STOPPED)
        else:
            self._run(places, sizes)

    def _run(self, places: int, sizes: linesim.report.BridgeSizes) -> None:
        assert self._worker is not None
        assert self._question is not None
        options = self._question["question"].options.model_dump()
        options["places"] = ",".join(str(each) for each in sorted({*sizes.run, places}))
        asked = {**self._question, "question": linesim.questions.Question(STUDY, options)}
        task = self._worker.submit("one_more_size", **asked)
        self._more = places, task
        self.slider.show_status(f"Running {sizes.words(places)} …")
        task.progress.connect(
            lambda _, words: self._on_more_progress(task, f"{sizes.words(places)}: {words}")
        )
        task.finished.connect(lambda answer: self._on_more_finished(task, answer))
        task.failed.connect(lambda words, details: self._on_more_failed(task, words, details))

    def _cancel_more(self) -> None:
        """A length that is being run is no longer waited for; what is done of it is kept."""
        if self._more is not None:
            _, task = self._more
            self._more = None
            task.cancel()

    def _on_more_progress(self, task: Task, words: str) -> None:
        if self._more is not None and self._more[1] is task:
            self.slider.show_status(words)

    def _on_more_finished(self, task: Task, answer: linesim.report.Answer) -> None:
        if self._more is None or self._more[1] is not task:
            return
        places, self._more = self._more[0], None
        self.answer_view.show_answer(answer)
        sizes = self._sizes_of(answer)
        self.slider.show_run(sizes)
        self.slider.show_status(f"{sizes.words(places)} were run and stand on the curve.")
        self._show_size()

    def _on_more_failed(self, task: Task, words: str, details: str) -> None:
        if self._more is not None and self._more[1] is task:
            self._more = None
            self.slider.show_status(f"▲ {words}", details)

    # -- showing ----------------------------------------------------------------------------

    def _show(self, answer: linesim.report.Answer, *, so_far: bool) -> None:
        first = self.sizes is None or self._answered is not self._asked
        super()._show(answer, so_far=so_far)
        sizes = self._sizes_of(answer)
        self._can_grow = not so_far and not answer.facts["stopped_early"]
        self.slider.set_ends(sizes)
        self._lie_along()
        if first:
            self._by_hand = False
            self.slider.show_status("")
        if not self._by_hand:
            # Beside the advice stands what is known of that length.
            self.slider.put(sizes.best)
        self._show_size()
        self._update_write()

    def _sizes_of(self, answer: linesim.report.Answer) -> linesim.report.BridgeSizes:
        assert self._answered is not None
        self.sizes = linesim.report.BridgeSizes(self._answered, answer.found)
        return self.sizes

    def _end(self, task: Task, words: str) -> None:
        super()._end(task, words)
        if self._can_grow:
            self._rested(self.slider.places)

    def _on_opened(self, task: Task, path: Any, found: Any) -> None:
        self._cancel_more()
        self._question, self._can_grow = None, False
        super()._on_opened(task, path, found)
        self._can_grow = False

    def _lie_along(self) -> None:
        """The slider has the axis of the curve that is looked at."""
        view = self.answer_view.chart_view
        curve = view is not None and isinstance(view.chart, linesim.report.Curve)
        self.slider.slider.lie_along(view.plot if view is not None and curve else None)

    def _show_size(self) -> None:
        sizes = self.sizes
        if sizes is None:
            return
        places = self.slider.places
        size = sizes.at(places)
        self.readout.show_size(size)
        self.answer_view.name_first_tab(sizes.words(places))
        self.answer_view.show_mark(ChartMark(places, sizes.words(places), size.rests_on))
        self.slider.slider.setAccessibleDescription(size.spoken)

    # -- the scenario -----------------------------------------------------------------------

    def _write(self, places: int) -> None:
        """The scenario gets this bridge, with what goes with it, in one step of undo."""
        scenario = self._document.scenario
        fields = {} if scenario is None else linesim.studies.bridge_fields(scenario, places)
        if scenario is not None and fields:
            words = linesim.report.places_text(scenario, places)
            self._document.end_step()
            self._document.set_fields(fields, f"bridge: {words}", next(iter(fields)))
            self._document.end_step()

    def _scenario_changed(self) -> None:
        super()._scenario_changed()
        self._update_write()

    def _update_write(self) -> None:
        scenario, places = self._document.scenario, self.slider.places
        usable = scenario is not None and not self._document.faults and self.sizes is not None
        same = scenario is not None and scenario.bridge_places == places
        self.slider.write.setEnabled(usable and not same)
        tip = "The scenario has faults; correct them first."
        if scenario is not None and (same or usable):
            words = linesim.report.places_text(scenario, places)
            tip = f"Give the scenario a bridge of {words}, in one step that undo takes back."
            tip = f"The scenario has {words}." if same else tip
        self.slider.write.setToolTip(tip)

    def _stale_words(self) -> str:
        now, then = self._document.scenario, self._answered
        if now is not None and then is not None and not self._document.faults:
            places = now.bridge_places
            if now == linesim.studies.with_bridge(then, places):
                words = linesim.report.places_text(now, places)
                return (
                    f"The scenario now has {words}, and is otherwise that of the curve;"
                    f" “present” and “now” stay at the {then.bridge_places:,} that it had."
                )
        return super()._stale_words()
