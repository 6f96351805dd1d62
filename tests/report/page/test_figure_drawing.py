import math
from dataclasses import replace
from pathlib import Path as FilePath
from xml.etree import ElementTree

import matplotlib
import pytest
from reportlab.pdfbase.pdfmetrics import stringWidth

from linesim.report.answers import Column, Figure
from linesim.report.answers.charts import (
    Bar,
    Bars,
    Chart,
    Curve,
    CurvePoint,
    Map,
    Scatter,
    bar_text,
)
from linesim.report.page.drawing import Circle, Drawing, Path, Rect, Text
from linesim.report.page.figure_drawing import figure_drawing
from linesim.report.page.pdf_styles import BOLD, REGULAR
from linesim.report.page.picture_files import write_pictures
from linesim.report.page.study_charts import chart_caption, chart_drawing, chart_figure
from linesim.report.page.svg import svg
from linesim.report.picture_style import HALF

PLACES, REAMS = Column("places"), Column("good reams more", "reams a week")
GAINS = ((60, -900, 60), (120, 0, 0), (210, 560, 70), (280, 700, 90), (500, 690, 150))
NAME = "bridge 160 places, 20 m long, 包装机 $x_1$ and a name that goes on and on"


def gains(by: float = 1.0, half_width: float | None = None) -> Curve:
    points = tuple(
        CurvePoint(x * by, Figure(y * by, h * by if half_width is None else half_width))
        for x, y, h in GAINS
    )
    return Curve(
        "gain",
        "What it brings",
        PLACES,
        REAMS,
        points,
        120 * by,
        gain="as it is now",
        pays=((120 * by, 280 * by),),
        best=280 * by,
    )


def bars(*found: tuple[str, Figure | None]) -> Bars:
    return Bars("b", "Changes", Column("change"), REAMS, tuple(Bar(*each) for each in found))


CHARTS: dict[str, Chart] = {
    "gains": gains(),
    "thousands of millions": gains(1e7),
    "millionths": gains(1e-8),
    "no interval": gains(half_width=math.inf),
    "one point": Curve("c", "One", PLACES, REAMS, (CurvePoint(207.3, Figure(31_007, 0)),)),
    "no point": Curve("c", "None", PLACES, REAMS, (CurvePoint(200.0, None),)),
    "long names": bars((NAME, Figure(620, 80)), ("crew", Figure(33, 60, False, 200)), ("-", None)),
    "thirty bars": bars(*((f"cause {n}", Figure(30e9 - n * 1e9, 2e9)) for n in range(33))),
    "map": Map(
        "m",
        "Map",
        PLACES,
        Column("places of the cushion"),
        REAMS,
        (60.0, 120.0),
        tuple(1e6 * n for n in range(1, 10)),
        ((None,) * 9, tuple(Figure(float(n), 1.0) for n in range(9))),
        (120.0, 1e6),
        (120.0, 9e6),
    ),
    "scatter": Scatter("s", "Stops", PLACES, REAMS, ((1.0, 2.0), (3.0, 9.0)), "Seen.", NAME),
}


def texts(drawing: Drawing) -> list[Text]:
    return [mark for mark in drawing.marks if isinstance(mark, Text)]


@pytest.mark.parametrize("name", CHARTS)
def test_a_drawing_holds_all_its_marks_in_type_that_is_read_in_print(name: str) -> None:
    drawing = chart_drawing(CHARTS[name])
    assert drawing.marks
    assert drawing.width == HALF
    for mark in texts(drawing):
        wide = stringWidth(mark.text, BOLD if mark.bold else REGULAR, mark.size)
        start = mark.x - {"start": 0, "middle": wide / 2, "end": wide}[mark.anchor]
        assert start >= -1, mark
        assert start + wide <= drawing.width + 1, mark
        assert mark.size >= 6.5
    for mark in drawing.marks:
        places = mark.points if isinstance(mark, Path) else ((mark.x, mark.y),)
        for x, y in places:
            assert -1 <= x <= drawing.width + 1, mark
            assert -1 <= y <= drawing.height + 1, mark
    ElementTree.fromstring(svg(drawing, "a"))


def test_what_was_found_is_drawn_in() -> None:
    chart = gains()
    drawing = chart_drawing(chart)
    said = [mark.text for mark in texts(drawing)]
    assert {"as it is now", "now", "pays", "best, 280: 700 ± 90"} <= set(said)
    (span,) = [m for m in drawing.marks if isinstance(m, Rect) and m.fill == "planned"]
    now = next(m for m in drawing.marks if isinstance(m, Path) and m.stroke == "blocked")
    best = max((m for m in drawing.marks if isinstance(m, Circle)), key=lambda mark: mark.radius)
    # It pays from the present length to the best.
    assert (span.x, span.x + span.width) == pytest.approx((now.points[0][0], best.x))
    assert "Pays: 120 to 280. Best: 280." in drawing.description
    assert chart_caption(chart).endswith("Shaded: pays. 0: as it is now.")


def test_a_best_that_is_not_shown_is_marked_so_and_one_that_stands_is_now() -> None:
    unsure = (CurvePoint(60.0, Figure(0, 0, False)), CurvePoint(120.0, Figure(30, 60, False)))
    chart = Curve("c", "c", PLACES, REAMS, unsure, 60.0, gain="as it is now", best=120.0)
    drawing = chart_drawing(chart)
    assert "best, 120: ~ 30 ± 60" in [mark.text for mark in texts(drawing)]
    assert "accent" not in {mark.colour for mark in texts(drawing)}
    stays = [mark.text for mark in texts(chart_drawing(replace(chart, best=60.0)))]
    assert "now, best, 60" in stays
    assert "now" not in stays


def test_what_is_not_shown_is_hollow_and_names_are_no_formulas() -> None:
    drawing = chart_drawing(CHARTS["long names"])
    shown, hollow = (m for m in drawing.marks if isinstance(m, Rect))
    assert (shown.fill, shown.hatch) == ("band", "")
    assert (hollow.fill, hollow.hatch) == ("card", "right")
    said = [mark.text for mark in texts(drawing)]
    assert "~ 30 ± 60 ± 200" in said
    formula = bars(("$x_1$ ^{2}", Figure(1.0, 0.1)))
    assert "$x_1$ ^{2}" in [mark.text for mark in texts(chart_drawing(formula))]


def test_the_short_ends_of_an_interval_make_a_picture_no_higher() -> None:
    """Many rows of two lines would be shrunk to fit a page, and their letters with them."""

    def high(figure: Figure) -> float:
        return chart_drawing(bars(*((f"cause {n}", figure) for n in range(24)))).height

    figure = Figure(230, 310, least=-10.0)
    assert bar_text(bars(), Bar("", figure)) == "230 (−10 to 540)"
    assert high(figure) == high(Figure(230, 31))
    assert high(Figure(230_000, 310_000, least=-10_000.0)) > high(figure)


def test_millions_are_counted_as_such() -> None:
    said = [mark.text for mark in texts(chart_drawing(CHARTS["thousands of millions"]))]
    assert "good reams more, reams a week (millions)" in said
    assert "best, 2,800: 7,000 ± 900" in said


def test_a_file_has_title_and_caption_in_any_script(tmp_path: FilePath) -> None:
    figure = chart_figure(replace(gains(), title="What 包装机 brings"))
    svg_path, pdf_path = write_pictures(tmp_path / "new", [figure])
    assert (svg_path.name, pdf_path.name) == ("gain.svg", "gain.pdf")
    root = ElementTree.fromstring(svg_path.read_text(encoding="utf-8"))
    said = [each.text for each in root.iter("{http://www.w3.org/2000/svg}text")]
    assert said[0] == "What 包装机 brings"
    assert "Shaded: pays. 0: as it is now." in " ".join(map(str, said))
    again = write_pictures(tmp_path / "again", [figure])
    assert again[1].read_bytes() == pdf_path.read_bytes()
    assert again[0].read_bytes() == svg_path.read_bytes()


def test_a_users_own_settings_are_not_for_a_report() -> None:
    before = svg(chart_drawing(gains()), "a")
    with matplotlib.rc_context({"font.size": 30, "axes.grid": True, "lines.linewidth": 9}):
        assert svg(chart_drawing(gains()), "a") == before


def test_a_colour_that_the_page_does_not_have_is_refused() -> None:
    with pytest.raises(ValueError, match="#123456 is no colour of the page"):
        figure_drawing(lambda axes: axes.axhline(0, color="#123456"), 100, 100, "a", "b")


def test_turned_text_is_turned_round_its_start() -> None:
    def paint(axes: object) -> None:
        axes.text(0.5, 0.5, "up", rotation=90)  # type: ignore[attr-defined]

    drawing = figure_drawing(paint, 200, 200, "a", "b")
    (up,) = [mark for mark in texts(drawing) if mark.text == "up"]
    assert up.angle == 90
    assert f'transform="rotate(-90 {up.x:.2f} ' in svg(drawing, "a")
