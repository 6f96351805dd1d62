"""The drawing: it shows the scenario's numbers, and no label lies on another."""

from __future__ import annotations

import itertools
import random

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter

import linesim
from gui.look import DARK, LIGHT, mixed
from gui.plan import PlanLayout, draw_plan
from gui.plan.scene import Scene
from tests.gui.plan.lines import DEMOS, HUGE, SPARES, run

pytestmark = pytest.mark.usefixtures("qapp")
SIZES = ((785.0, 260.0), (1240.0, 360.0), (1240.0, 640.0), (1880.0, 900.0))


def draw(record, moment, size, palette=LIGHT, other=None):
    image = QImage(int(size[0]), int(size[1]), QImage.Format.Format_RGB32)
    image.fill(0xFF00FF)
    painter = QPainter(image)
    draw_plan(painter, size, record.scenario, moment, palette, other)
    painter.end()
    return image


@pytest.fixture
def texts(monkeypatch):
    """Every text that is drawn, with the area of its letters."""
    found = []
    write = Scene.write

    def noting(self, area, text, **how):
        taken = write(self, area, text, **how)
        if text:
            found.append((taken, text))
        return taken

    monkeypatch.setattr(Scene, "write", noting)
    return found


@pytest.mark.parametrize("name", [*DEMOS, HUGE, SPARES])
@pytest.mark.parametrize("size", SIZES)
def test_no_label_lies_on_another_or_outside(name, size, texts):
    record = run(name)
    moments, choose = linesim.record.Moments(record), random.Random(name)
    for _ in range(6):
        texts.clear()
        moment = moments.at(choose.randrange(record.end_ns))
        other = moments.at(choose.randrange(record.end_ns)) if size[0] < 1000 else None
        draw(record, moment, size, other=other)
        assert len(texts) > 15
        for area, text in texts:
            assert area.left() >= -1, text
            assert area.right() <= size[0] + 1, text
            assert area.top() >= -1, text
            assert area.bottom() <= size[1] + 1, text
        for (area, text), (other, further) in itertools.combinations(texts, 2):
            both = area.intersected(other)
            assert both.width() < 1.5 or both.height() < 2.5, (text, further)


def test_spare_stands_and_who_brings_reels_are_shown(texts):
    record = run(SPARES)
    moment = linesim.record.moment_at(record, record.end_ns // 2)
    draw(record, moment, SIZES[2])
    assert any(text.startswith("5 reels, 2 spare; smallest: ") for _, text in texts)
    texts.clear()
    draw(record, moment, (2600.0, 900.0))
    said = [text for _, text in texts]
    assert said.count("spare") == 2
    assert "reels brought by 2 reel trucks, to 3 places beside the line" in said


def test_labels_say_what_the_moment_holds(texts):
    record = run("two-wrappers")
    moment = linesim.record.Moments(record).at(3000 * 10**9)
    draw(record, moment, SIZES[2])
    written = [text for _, text in texts]
    labels = linesim.report.moment_labels(moment)
    assert labels.bridge == f"{moment.bridge_level} of 58 reams"
    for label in (labels.bridge, labels.pockets, *labels.wrappers, "6 lanes", "wrapper B"):
        assert label in written
    assert {"stop at 50", "slow from 38", "restart at 24"} <= set(written)
    assert "rework table, 30\N{NO-BREAK SPACE}places" in written


def test_the_run_before_is_drawn_beside_and_its_difference_told(texts):
    record = run("two-wrappers")
    moments = linesim.record.Moments(record)
    now, other = moments.at(3000 * 10**9), moments.at(2400 * 10**9)
    alone = draw(record, now, SIZES[2])
    same = draw(record, now, SIZES[2], other=now)
    beside = draw(record, now, SIZES[2], other=other)
    assert alone != same != beside
    more = now.wrapped - other.wrapped
    assert more > 0
    told = next(text for _, text in texts if "before the change" in text and "±0" not in text)
    assert told.endswith(f"before the change {other.wrapped:,}: +{more:,} in this one run")


def test_a_stop_is_told_in_words_once_for_stations_side_by_side(texts):
    scenario = linesim.scenario.load(linesim.scenario.find_scenario("short-bridge")).varied(
        start={"state": "new"}
    )
    forced = [linesim.scenario.ForcedStop(station="wrapper", at_h=0.5, minutes=10)]
    record = linesim.fast.simulate(scenario, seed=1, hours=1, forced=forced)
    moment = linesim.record.Moments(record).at(round(0.6 * linesim.scenario.HOUR))
    draw(record, moment, SIZES[1])
    written = [text for _, text in texts]
    assert written.count("blocked by wrapper: forced stop") == 1
    assert written.count("down: forced stop") == 1
    assert "webs stand" in written[0]
    assert moment.bridge_level > 21 - 5  # one more set of five finds no room
    assert f"{moment.bridge_level} of 21 reams" in written


def count(image, rect, colour):
    pixels = 0
    for x in range(int(rect.left()) + 1, int(rect.right()) - 1, 2):
        for y in range(int(rect.top()) + 1, int(rect.bottom()) - 1, 2):
            pixels += image.pixelColor(x, y).name() == colour
    return pixels


@pytest.mark.parametrize("palette", [LIGHT, DARK])
def test_reels_shrink_in_the_picture(palette):
    # All reels are fresh, and none is changed within half an hour.
    line = linesim.scenario.load(linesim.scenario.find_scenario("small-crew")).varied(
        start={"state": "new"}
    )
    record = linesim.fast.simulate(line, seed=1, hours=0.5)
    moments = linesim.record.Moments(record)
    early, late = moments.at(60 * 10**9), moments.at(1500 * 10**9)
    assert late.reels[1].diameter_mm < 0.9 * early.reels[1].diameter_mm
    size = SIZES[2]
    area = PlanLayout.for_line(record.scenario, *size).of("unwind")
    paper = "#ffffff" if palette is LIGHT else "#c9ced2"
    before = count(draw(record, early, size, palette), area, paper)
    after = count(draw(record, late, size, palette), area, paper)
    shrunk = sum(r.diameter_mm**2 for r in late.reels) / sum(r.diameter_mm**2 for r in early.reels)
    assert after / before == pytest.approx(shrunk, abs=0.12)


def test_an_abnormal_station_has_its_colour_and_a_running_one_has_not():
    scenario = linesim.scenario.load(linesim.scenario.find_scenario("short-bridge")).varied(
        start={"state": "new"}
    )
    forced = [linesim.scenario.ForcedStop(station="wrapper", at_h=0.5, minutes=10)]
    record = linesim.fast.simulate(scenario, seed=1, hours=1, forced=forced)
    moments = linesim.record.Moments(record)
    area = PlanLayout.for_line(scenario, *SIZES[2]).of("wrappers")
    down = LIGHT.fills[linesim.record.State.DOWN]
    stands = draw(record, moments.at(round(0.6 * linesim.scenario.HOUR)), SIZES[2])
    runs = draw(record, moments.at(round(0.49 * linesim.scenario.HOUR)), SIZES[2])
    assert (
        moments.at(round(0.49 * linesim.scenario.HOUR)).station("wrapper").state
        in linesim.record.PRODUCING
    )
    assert count(stands, area, down) > 200
    assert count(runs, area, down) == 0


def test_carton_packers_stand_in_one_column_each_with_its_colour():
    """The first is drawn above the second."""
    packers = [{"name": name, "rate_cartons_per_min": 6} for name in ("packer A", "packer B")]
    demo = linesim.scenario.load(linesim.scenario.find_scenario("full-pallets"))
    scenario = demo.varied(carton_packer=packers)
    forced = [linesim.scenario.ForcedStop(station="packer B", at_h=0.5, minutes=10)]
    record = linesim.fast.simulate(scenario, seed=1, hours=1, forced=forced)
    column = PlanLayout.for_line(scenario, *SIZES[2]).of("carton_packer")
    moment = linesim.record.Moments(record).at(round(0.55 * linesim.scenario.HOUR))
    image, down = draw(record, moment, SIZES[2]), LIGHT.fills[linesim.record.State.DOWN]
    middle = column.top() + 0.47 * column.height()
    upper, lower = QRectF(column), QRectF(column)
    upper.setBottom(middle)
    lower.setTop(middle)
    assert moment.station("packer A").state != linesim.record.State.DOWN
    assert count(image, lower, down) > 100
    assert count(image, upper, down) == 0


def test_layout_follows_the_scenario():
    few = PlanLayout.for_line(run("small-crew").scenario, *SIZES[1])
    many = PlanLayout.for_line(run("two-wrappers").scenario, *SIZES[1])
    assert few.columns["unwind"].width() < many.columns["unwind"].width()
    assert "outfeed" not in few.columns
    assert "outfeed" in many.columns
    order = [column.left() for column in many.columns.values()]
    assert order == sorted(order)
    assert many.columns["outfeed"].right() <= SIZES[1][0]


def test_letters_grow_with_those_around_where_there_is_room() -> None:
    line = run("short-bridge").scenario
    usual = PlanLayout.for_line(line, 1900, 600).text_px
    assert PlanLayout.for_line(line, 1900, 600, 12).text_px == usual
    assert PlanLayout.for_line(line, 1900, 600, 20).text_px == 20
    # No name is wider than its column, nor does a low picture consist of words.
    assert PlanLayout.for_line(line, 1900, 600, 60).text_px == 21
    assert PlanLayout.for_line(line, 1900, 250, 20).text_px == usual


def test_a_wait_for_a_pace_is_no_trouble_and_has_no_colour() -> None:
    record = run("short-bridge")
    moments = linesim.record.Moments(record)
    waits = {False: set(), True: set()}
    for at in range(0, record.end_ns, record.end_ns // 400):
        moment = moments.at(at)
        station = moment.station("transfer")
        if station.state not in linesim.record.WAITING:
            continue
        assert station.for_pace == station.words.endswith(": its pace"), station.words
        size = SIZES[1]
        # The same moment of another run stands below it.
        image = draw(record, moment, size, other=moment)
        column = PlanLayout.for_line(record.scenario, *size)
        x, y = column.of("transfer").center().x(), column.states.top() + 3
        heights = (int(y), int(y) + 8)
        waits[station.for_pace] |= {
            image.pixelColor(int(x) + step, each).name() for step in range(20) for each in heights
        }
        if all(waits.values()):
            break
    fills = [LIGHT.fills[state] for state in linesim.record.WAITING]
    loud = {*fills, *(mixed(fill, LIGHT.ground, 0.25) for fill in fills)}
    assert waits[True]
    assert waits[False]
    assert not waits[True] & loud
    assert waits[False] & loud
