"""An answer on screen: words on top, charts below them, then tables and notes."""

from __future__ import annotations

import math
import re
from html import escape

from PySide6.QtCore import QEvent, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QScrollArea,
    QSizePolicy,
    QSpacerItem,
    QSplitter,
    QTabWidget,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

import linesim
from gui.charts import ChartMark, ChartView
from gui.document import with_titles
from gui.look import (
    CLOSE,
    KEPT,
    NEAR,
    Card,
    PlainLabel,
    line_px,
    one_decimal,
    plain_tip,
    spaced,
)
from gui.pages.answer_table import AnswerTableView

_AT_A_GLANCE = 180
"""So many letters of an answer stand out; all of a long paragraph in bold says nothing."""
_WHOLE, _IN_BRIEF = "the whole answer", "in brief"
_PARAGRAPH = f'<p style="margin: 0 0 {CLOSE}px 0">'


class _Parts(QSplitter):
    def sizeHint(self) -> QSize:
        """What its parts need: what they would like is more."""
        return self.minimumSizeHint()


class AnswerView(QWidget):
    """Shows answers one after the other, keeping the tab that is looked at."""

    dragged = Signal(float)
    """The mark on a curve is under the hand, here."""

    def __init__(
        self,
        parent: QWidget | None = None,
        *,
        below_charts: QWidget | None = None,
        first_tab: QWidget | None = None,
    ) -> None:
        """``first_tab`` stands before the tables; the tables keep their own tabs."""
        super().__init__(parent)
        self._first_tab = first_tab
        self._whole = False
        """Whether all words of the answer are on screen."""
        self._mark: ChartMark | None = None
        self._answer: linesim.report.Answer | None = None
        self.words = QTextBrowser()
        self.words.setAccessibleName("answer in words")
        self.words.setFrameShape(QFrame.Shape.NoFrame)
        self.words.setOpenLinks(False)
        self.words.anchorClicked.connect(self._turn_words)
        self.charts = QTabWidget()
        self.charts.tabBar().setAccessibleName("charts")
        self.charts.setAccessibleName("charts")
        self.tables = QTabWidget()
        self.tables.tabBar().setAccessibleName("tables")
        self.tables.setAccessibleName("tables")
        self._views: dict[str, ChartView] = {}
        self._tables: dict[str, tuple[PlainLabel, AnswerTableView]] = {}
        # Each takes hundredths of a second in which the window stands: one in a tab that nobody
        # looks at waits until somebody does.
        self._charts_to_draw: dict[str, linesim.report.Chart] = {}
        self._tables_to_fill: dict[str, linesim.report.AnswerTable] = {}
        self._notes = QTextBrowser()
        self._notes.setFrameShape(QFrame.Shape.NoFrame)
        for text in (self.words, self._notes):
            text.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._verdict = verdict = Card()
        inside = QVBoxLayout(verdict)
        spaced(inside, around=NEAR)
        inside.addWidget(self.words)
        self._splitter = splitter = _Parts(Qt.Orientation.Vertical)
        upper = QWidget()
        column = QVBoxLayout(upper)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.charts, 1)
        if below_charts is not None:
            column.addWidget(below_charts)
        for part, stretch in ((verdict, 0), (upper, 5), (self.tables, 3)):
            splitter.addWidget(part)
            splitter.setStretchFactor(splitter.count() - 1, stretch)
        splitter.setChildrenCollapsible(False)
        self.charts.currentChanged.connect(self._draw_chart)
        self.tables.currentChanged.connect(self._fill_table)
        for tabs in (self.charts, self.tables):
            tabs.currentChanged.connect(self._fit)
        KEPT.arrange(splitter, self._fit)
        self._below = QSpacerItem(0, 0)
        layout = self._column = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(splitter)
        layout.addSpacerItem(self._below)
        self.setVisible(False)

    def sizeHint(self) -> QSize:
        """The page gets a bar only where this does not fit; where it does, charts grow into the
        room that there is."""
        return self.minimumSizeHint()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """In another width words and tables need another height."""
        super().resizeEvent(event)
        if event.size() != event.oldSize():
            QTimer.singleShot(0, self, self._fit)

    def changeEvent(self, event: QEvent) -> None:
        """A text takes the colour of its links when it is set; larger letters need more room."""
        super().changeEvent(event)
        kinds = QEvent.Type.PaletteChange, QEvent.Type.FontChange
        if event.type() in kinds and self.__dict__.get("_answer") is not None:
            self._show_words(self._answer)
            QTimer.singleShot(0, self, self._fit)

    @property
    def answer(self) -> linesim.report.Answer | None:
        """The answer on screen."""
        return self._answer

    @property
    def chart_view(self) -> ChartView | None:
        """The chart that is looked at."""
        area = self.charts.currentWidget()
        found = area.widget() if isinstance(area, QScrollArea) else None
        return found if isinstance(found, ChartView) else None

    @property
    def table(self) -> linesim.report.AnswerTable | None:
        """The table that is looked at; the first one where it is the notes."""
        if self._answer is None or not self._answer.tables:
            return None
        at = self.tables.currentIndex() - (self._first_tab is not None)
        return self._answer.tables[at if 0 <= at < len(self._answer.tables) else 0]

    def show_answer(self, answer: linesim.report.Answer) -> None:
        """Put this one on screen."""
        self._answer = answer
        self._show_words(answer)
        self._show_charts(answer)
        self._show_tables(answer)
        notes = (linesim.report.unbroken(with_titles(note)) for note in answer.notes)
        self._notes.setHtml("".join(f"<p>{escape(note)}</p>" for note in notes))
        self.setVisible(True)
        # The words know how high they are when they know how wide.
        QTimer.singleShot(0, self, self._fit)

    def name_first_tab(self, words: str) -> None:
        """What the tab before the tables is called now."""
        if self._first_tab is not None:
            self.tables.setTabText(self.tables.indexOf(self._first_tab), words)
            # What stands in it may be longer now.
            QTimer.singleShot(0, self, self._fit)

    def show_mark(self, mark: ChartMark | None) -> None:
        """Mark a place on every curve, or none."""
        self._mark = mark
        self._draw_chart()

    def _fit(self) -> None:
        """Each part is as high as what stands in it, so that the page scrolls as one; room to spare
        goes to the chart, as far as it is filled, and no frame stands around more."""
        for text in (self.words, self._notes):
            _keep_readable(text)
        words, charts, table = _height_of(self.words), self._chart_height(), self._table_height()
        verdict = words + 2 * NEAR + 2
        self._verdict.setMinimumHeight(verdict)
        self.charts.setMinimumHeight(charts)
        self.tables.setMinimumHeight(table)
        if KEPT.by_hand(self._splitter):
            self._leave(0)
            return
        room = self.height() - verdict - 2 * self._splitter.handleWidth()
        charts = round(min(room - min(table, room // 3), max(charts, self._most_of_chart())))
        spare = max(0, room - charts - self._table_height(all_rows=True))
        self._leave(spare)
        self._splitter.setSizes([verdict, charts, room - charts - spare])

    def _leave(self, spare: int) -> None:
        """Have so much below all frames, px; a page that has less room leaves less."""
        self._below.changeSize(0, spare, QSizePolicy.Policy.Minimum, QSizePolicy.Policy.Maximum)
        self._column.invalidate()
        self._column.activate()

    def _most_of_chart(self) -> float:
        """The height beyond which a chart is only emptier; what is left below it is the table's."""
        view = self.chart_view
        if view is None or math.isinf(view.most_lines):
            return math.inf
        return _bar_of(self.charts) + view.most_lines * view.fontMetrics().height()

    def _chart_height(self) -> int:
        view = self.chart_view
        if view is None:
            return 0
        return _bar_of(self.charts) + view.minimumSizeHint().expandedTo(view.minimumSize()).height()

    def _table_height(self, *, all_rows: bool = False) -> int:
        """Of what is looked at below the charts; of a long table with ``all_rows``, or some."""
        shown = self.tables.currentWidget()
        if shown is self._notes:
            inside = _height_of(self._notes)
        else:
            # While the tabs are made anew what is shown may be of none.
            inside = 0 if shown is None else _height_in(shown)
            for title, view in self._tables.values():
                if view.parentWidget() is shown:
                    words = title.heightForWidth(shown.width())
                    rows = view.sizeHint().height() if all_rows else view.needed_height()
                    inside = words + 3 * CLOSE + rows
        return _bar_of(self.tables) + inside

    def _show_words(self, answer: linesim.report.Answer) -> None:
        """The answer in brief, so that its picture is on screen with it; all of it on demand."""
        said = answer.words if self._whole else answer.words[: answer.brief]
        first, *others = (
            linesim.report.unbroken(one_decimal(with_titles(each))) for each in said or ("",)
        )
        verdict, rest = _first_sentences(first)
        paragraphs = [f"<b>{escape(verdict)}</b> {escape(rest)}", *map(escape, others)]
        if len(answer.words) > answer.brief:
            paragraphs[-1] += f' <a href="#">({_IN_BRIEF if self._whole else _WHOLE})</a>'
        self.words.setHtml("".join(f"{_PARAGRAPH}{each}</p>" for each in paragraphs))
        told = [each for each in said if one_decimal(each) != each]
        self.words.setToolTip(plain_tip("\n".join(told)))

    def _turn_words(self) -> None:
        self._whole = not self._whole
        if self._answer is not None:
            self._show_words(self._answer)
            self._fit()

    def _show_charts(self, answer: linesim.report.Answer) -> None:
        charts = answer.charts
        if list(self._views) != [chart.name for chart in charts]:
            self._views = {}
            _empty(self.charts)
            for chart in charts:
                area = QScrollArea(self.charts)
                view = ChartView(area)
                view.dragged.connect(self.dragged)
                area.setWidgetResizable(True)
                area.setFrameShape(QFrame.Shape.NoFrame)
                area.setWidget(view)
                self.charts.addTab(area, _heading(chart.name))
                self._views[chart.name] = view
        self._charts_to_draw = {chart.name: chart for chart in charts}
        self._draw_chart()
        self.charts.setVisible(bool(charts))

    def _draw_chart(self) -> None:
        """The chart that is looked at is of the answer on screen, and has its mark."""
        for name, view in self._views.items():
            if view is self.chart_view:
                chart = self._charts_to_draw.pop(name, None)
                if chart is not None and self._answer is not None:
                    view.show_chart(chart, self._answer)
                view.show_mark(self._mark)

    def _show_tables(self, answer: linesim.report.Answer) -> None:
        if list(self._tables) != [table.name for table in answer.tables]:
            at = self.tables.currentIndex()
            self._tables = {}
            _empty(self.tables, self._first_tab, self._notes)
            if self._first_tab is not None:
                self.tables.addTab(self._first_tab, self._first_tab.accessibleName())
            for table in answer.tables:
                self._tables[table.name] = self._add_table(table.name)
            self.tables.addTab(self._notes, "Notes")
            self.tables.setCurrentIndex(max(0, at))
        self._tables_to_fill = {table.name: table for table in answer.tables}
        self._fill_table()

    def show_all(self) -> None:
        """All words, and the tables that are not looked at, too: somebody looks through them."""
        if not self._whole:
            self._turn_words()
        for name in list(self._tables_to_fill):
            self._fill(name)

    def _fill_table(self) -> None:
        """The table that is looked at is of the answer on screen."""
        for name, (_, view) in self._tables.items():
            if view.parent() is self.tables.currentWidget():
                self._fill(name)

    def _fill(self, name: str) -> None:
        table = self._tables_to_fill.pop(name, None)
        if table is not None:
            title, view = self._tables[name]
            title.setText(linesim.report.unbroken(table.title))
            view.show_table(table)

    def _add_table(self, name: str) -> tuple[PlainLabel, AnswerTableView]:
        """A tab with a table below what it is of."""
        page = QWidget(self.tables)
        title = PlainLabel("", page)
        title.setWordWrap(True)
        view = AnswerTableView(page)
        column = QVBoxLayout(page)
        spaced(column, CLOSE, CLOSE)
        column.addWidget(title)
        # Its frame ends where its rows do, however much room there is.
        view.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Maximum)
        column.addWidget(view)
        column.addStretch()
        self.tables.addTab(page, _heading(name))
        return title, view


def _keep_readable(text: QTextBrowser) -> None:
    """Lines as long as the page is wide, but not longer than is read with ease."""
    most = line_px(text)
    if text.viewport().width() > most:
        text.setLineWrapMode(QTextBrowser.LineWrapMode.FixedPixelWidth)
        text.setLineWrapColumnOrWidth(most)
    else:
        text.setLineWrapMode(QTextBrowser.LineWrapMode.WidgetWidth)


def _height_of(text: QTextBrowser) -> int:
    """What its words need in the width that it has, px."""
    return math.ceil(text.document().size().height())


def _height_in(page: QWidget) -> int:
    """What a page needs in the width that it has, px."""
    inner = page.widget() if isinstance(page, QScrollArea) else page
    if inner.hasHeightForWidth():
        return inner.heightForWidth(page.width())
    return inner.sizeHint().height()


def _bar_of(tabs: QTabWidget) -> int:
    """What the tabs' names and the frame take of the height, px."""
    page = tabs.currentWidget()
    around = 0 if page is None else tabs.height() - tabs.tabBar().height() - page.height()
    return tabs.tabBar().sizeHint().height() + max(4, around)


def _first_sentences(words: str) -> tuple[str, str]:
    """As many sentences as are still taken in at a glance, one at least, and the others."""
    sentences = re.split(r"(?<=[.!?]) (?=[A-Z])", words)
    count = 1
    while count < len(sentences) and len(" ".join(sentences[: count + 1])) <= _AT_A_GLANCE:
        count += 1
    return " ".join(sentences[:count]), " ".join(sentences[count:])


def _empty(tabs: QTabWidget, *kept: QWidget | None) -> None:
    """Take all pages out; those that nobody keeps are gone for good."""
    pages = [tabs.widget(number) for number in range(tabs.count())]
    tabs.clear()
    for page in pages:
        if page is not None and page not in kept:
            page.deleteLater()


def _heading(name: str) -> str:
    """What a tab says of a chart or table that is saved under this name."""
    return name.replace("-", " ").replace("_", " ").capitalize()
