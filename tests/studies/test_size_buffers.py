"""One buffer or two: sizes in places, metres and money; the map, and a sum split in two."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.money import simple_payback_years, yearly_cost
from linesim.questions import Question, QuestionError
from linesim.questions.asking import ask
from linesim.report.answers import Answer
from linesim.report.answers.cells import cell_text
from linesim.report.answers.table_layout import layout
from linesim.scenario import Scenario, check_mapping
from linesim.studies.best_size import SizeRule
from linesim.studies.buffer_places import places_from_now, places_to_try
from linesim.studies.runner import Runner, Settings, StoppedError
from linesim.studies.size_bridge import size_bridge
from linesim.studies.size_buffers import SizedBuffers, SplitError, SumToSplit, size_buffers

SHORT = Settings(replications=3, hours=5, processes=1)
PRICES = {
    "contribution_per_ream": 0.4,
    "ream_place_cost": 1000.0,
    "conveyor_place_cost": 500.0,
    "buffer_fixed_cost": 4000.0,
}


def line(**tables: Any) -> Scenario:
    """Wrappers of 60, a packer that stops often, next to no room before it."""
    return check_mapping(
        {
            "line": {"name": "packed"},
            "bridge": {"places": 20, "ream_pitch_mm": 300},
            "wrapper": [{"rate_reams_per_min": 60}],
            "carton_packer": {"conveyor_reams": 4, "longest_m": 30},
            "stop": [
                {"cause": "wrapper jam"},
                {
                    "cause": "packer fails",
                    "station": "carton_packer",
                    "people": 0,
                    "every_running_h": {"law": "exponential", "mean": 0.3},
                    "restore_min": {"law": "exponential", "mean": 2},
                },
            ],
        }
        | tables
    )


def sized(scenario: Scenario, grid: dict[str, list[int]], **more: Any) -> SizedBuffers:
    with Runner(SHORT) as runner:
        return size_buffers(scenario, runner, grid, SizeRule(years=8), **more)


def answered(scenario: Scenario, **options: Any) -> Answer:
    return ask(Question("size-buffers", options), {"": scenario}, SHORT)


def test_the_money_of_a_size_is_the_sum_on_paper() -> None:
    found = sized(line(money=PRICES), {"carton_packer": [4, 30]}, refine=False).sizes
    now, more = found.sizes
    assert (now.metres, more.metres) == ((1.2,), (9.0,))
    assert found.in_money
    assert more.worth is not None
    # 26 places at 500, and 4,000 to build at all.
    assert more.worth.purchase.capital == 26 * 500 + 4000
    # 6,000 manned hours of 168 a week; there is nothing to save but what is sold.
    yearly = more.gain.interval.mean * 6000 / 168 * 0.4
    assert more.worth.yearly.mean == pytest.approx(yearly)
    assert more.worth.payback_years is not None
    assert more.worth.payback_years.value == pytest.approx(simple_payback_years(17_000, yearly))
    assert more.net.mean == pytest.approx(yearly - yearly_cost(17_000, 0.08, 8))
    assert now.net.mean == 0
    better = more.net.mean > 0
    assert found.best is (more if better else now)
    # The present one falls short of the best by what the best brings.
    assert now.short is not None
    assert now.short.mean == pytest.approx(more.net.mean)


def test_a_price_that_nothing_makes_up_for_leaves_the_line_as_it_is() -> None:
    dear = line(money=PRICES | {"conveyor_place_cost": 1e7})
    answer = answered(dear, buffer="carton_packer", places="4,30,60")
    sizes = answer.found.sizes
    assert sizes.best is sizes.present
    assert "no other size tried is better" in answer.words[0]
    assert "4 places (1.2 m)" in answer.words[0]


@pytest.mark.parametrize(("buffer", "asked"), [("bridge", True), ("carton_packer", False)])
def test_a_longer_one_asks_whether_there_is_room_unless_somebody_has_said_so(
    buffer: str, *, asked: bool
) -> None:
    answer = answered(line(money=PRICES), buffer=buffer, places="5,20,60")
    assert answer.found.sizes.best.places > answer.found.sizes.present.places
    assert ("First see whether there is room: 60 m is taken" in answer.words[0]) == asked


def test_without_a_price_of_the_place_a_share_of_the_output_decides_and_that_is_said() -> None:
    prices = {name: value for name, value in PRICES.items() if name != "conveyor_place_cost"}
    answer = answered(
        line(money=prices), buffer="carton_packer", places="4,30", fraction_percent=1.0
    )
    sizes = answer.found.sizes
    assert not sizes.in_money
    now, more = sizes.sizes
    asked = 0.01 * now.reams_per_week.mean * 26
    assert more.net.mean == pytest.approx(more.gain.interval.mean - asked)
    assert any("does not say conveyor_place_cost" in note for note in answer.notes)
    assert answer.prices == ("conveyor_place_cost",)


def test_both_studies_say_the_same_of_a_bridge() -> None:
    priced = line(money=PRICES)
    with Runner(SHORT) as runner:
        close = size_bridge(priced, runner, [10, 40], SizeRule(years=8))
        made = runner.made
        found = size_buffers(priced, runner, {"bridge": [10, 40]}, SizeRule(years=8), refine=False)
        assert runner.made == made
    assert found.sizes == close.best
    assert [point.metres for point in close.points] == [3.0, 6.0, 12.0]


def test_a_map_is_refined_round_its_best_and_every_line_meets_the_same_luck() -> None:
    grid = {"bridge": [20, 60], "carton_packer": [4, 60]}
    found = sized(line(money=PRICES), grid)
    assert found.coarse == 4
    best = sized(line(money=PRICES), grid, refine=False).sizes.best.places
    beside = {(a, b) for a in (best[0], 40) for b in (best[1], 32)}
    places = {each.places for each in found.sizes.sizes}
    coarse = {(a, b) for a in (20, 60) for b in (4, 60)}
    together = found.together
    assert together is not None
    alone = {(together.both.places[0], 4), (20, together.both.places[1])}
    assert places == coarse | beside | alone
    assert {each.worth.purchase.capital for each in found.sizes.sizes if each.worth} >= {
        40 * 1000 + 56 * 500 + 2 * 4000
    }
    # What both bring more than the sum of the two is the difference of their gains.
    parts = [each.gain.interval.mean for each in together.alone]
    assert together.more.mean == pytest.approx(together.both.gain.interval.mean - sum(parts))


def test_all_figures_of_a_map_stand_in_its_tables() -> None:
    answer = answered(line(money=PRICES), second="carton_packer", places="20,60", grid=2)
    table = answer.table("sizes")
    assert table.header[:5] == [
        "size",
        "bridge [reams]",
        "bridge [m]",
        "carton packer [reams]",
        "carton packer [m]",
    ]
    assert len(table.rows) == len(answer.found.sizes.sizes)
    cells = [cell for row in answer.table("map").rows for cell in row]
    assert sum(str(cell).endswith("best") for cell in cells) == 1
    assert sum("now" in str(cell) for cell in cells) == 1
    grid = answer.table("map")
    heads = [column.heading for column in grid.columns]
    rows = [[cell_text(cell) for cell in row] for row in grid.rows]
    assert len(layout(heads, rows, [False] * len(heads), 80).blocks) == 1
    chart, tornado = answer.charts
    assert tornado.name == "each-input"
    best = answer.found.sizes.best.places
    assert chart.marks(best) in ("best", "now, best")


def test_places_are_split_evenly_first_then_round_the_best() -> None:
    grid = {"bridge": [20], "carton_packer": [4]}
    found = sized(line(), grid, split=SumToSplit(total_places=66))
    split = found.split
    assert split is not None
    # 5 reams of a set are the least on the bridge, 66 its most here.
    firsts = [way.places[0] for way in split.ways]
    assert all(sum(way.places) == 66 for way in split.ways)
    assert {5, 15, 25, 36, 46, 56, 66} <= set(firsts)
    assert len(firsts) <= 9
    made = {way.places: way.reams_per_week.mean for way in split.ways}
    assert made[split.best.places] == max(made.values())
    assert split.best in split.alike


def test_money_is_spent_as_far_as_it_goes() -> None:
    grid = {"bridge": [20], "carton_packer": [4]}
    found = sized(line(money=PRICES), grid, split=SumToSplit(budget=20_000))
    split = found.split
    assert split is not None
    # All on the bridge: 4,000 and 16 places; all before the packer: 4,000 and 32 places.
    assert {(20, 36), (36, 4)} <= {way.places for way in split.ways}
    for way in split.ways:
        assert way.worth is not None
        assert way.worth.purchase.capital <= 20_000
    # 8 on the bridge are 12,000; the other 8,000 are 4,000 and 8 places before the packer.
    assert (28, 12) in {way.places for way in split.ways}


def test_the_best_of_many_meets_the_line_as_it_is_on_fresh_luck() -> None:
    grid = {"carton_packer": [30, 60]}
    with Runner(SHORT) as runner:
        found = size_buffers(line(), runner, grid, SizeRule(asked_fraction=0), confirm=True)
        assert runner.made == (len(found.sizes.sizes) + 2) * SHORT.replications
    assert found.recommended is found.sizes.best is not found.sizes.present
    assert found.confirmed is not None
    assert found.confirmed.runs == 2 * SHORT.replications
    assert found.confirmed.gain.interval.mean != found.sizes.best.gain.interval.mean
    answer = answered(line(), buffer="carton_packer", places="4,30,60", fraction_percent=0)
    assert "With fresh random numbers, the conveyor" in answer.words[0]


def cut_short(after: int) -> SizedBuffers:
    """2 x 2 sizes of 2 runs are 8; then come those round the best, the split, and fresh ones."""
    settings = Settings(replications=2, hours=1, processes=1)
    with Runner(settings, stop=lambda: runner.made >= after) as runner:
        grid = {"bridge": [20, 60], "carton_packer": [4, 60]}
        split = SumToSplit(total_places=66)
        return size_buffers(line(), runner, grid, split=split, confirm=True)


@pytest.mark.parametrize("after", [8, 11])
def test_cut_short_it_says_what_the_coarse_grid_says(after: int) -> None:
    found = cut_short(after)
    assert len(found.sizes.sizes) == found.coarse == 4
    assert found.sizes.runs == 2
    assert found.split is found.confirmed is None


def test_cut_short_before_the_grid_is_complete_there_is_nothing_to_say() -> None:
    with pytest.raises(StoppedError):
        cut_short(5)


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ({"buffer": "palletiser"}, "buffer: the line has no buffer palletiser; it has: bridge,"),
        ({"second": "bridge"}, "second: bridge is the first already"),
        ({"places": "2,40"}, "places: 2 places are fewer than the 5 reams of one set"),
        ({"second": "carton_packer", "second_places": "4,101"}, "second_places: 101 places are"),
        ({"total_places": 40}, "total_places: a sum is split between two buffers"),
        ({"second": "carton_packer", "total_places": 4}, "4 places in all cannot be split: 5 to"),
        ({"second": "carton_packer", "budget": 9.0}, "ream_place_cost in .money."),
        ({"second": "carton_packer", "budget": 9.0, "total_places": 9}, "budget: split places or"),
        ({"places": "20"}, "places: one size alone makes no curve"),
    ],
)
def test_what_cannot_be_asked_is_said_with_what_would_be_right(
    options: dict[str, Any], said: str
) -> None:
    with pytest.raises(QuestionError, match=said):
        answered(line(), **options)


def test_too_little_money_for_any_place() -> None:
    grid = {"bridge": [20], "carton_packer": [4]}
    with pytest.raises(SplitError, match=r"4,000 buys no place of either"):
        sized(line(money=PRICES), grid, split=SumToSplit(budget=4000))


def test_sizes_to_try_begin_with_none_and_end_where_the_room_does() -> None:
    tried = places_to_try(line(), 9, "carton_packer")
    assert (tried[0], len(tried)) == (0, 9)
    assert 4 in tried
    # A packer of 60 reams a minute, 16 stops of 2 minutes: more than 30 m hold.
    assert tried[-1] == 100
    assert places_from_now(line(), 4, "carton_packer")[0] == 4
    roomy = line(carton_packer={"conveyor_reams": 4, "longest_m": 1000})
    most = places_to_try(roomy, 9, "carton_packer")[-1]
    assert most == pytest.approx(16 * 2 * 60, rel=0.5)


def test_a_bridge_so_short_that_each_set_stops_the_sheeter_is_told() -> None:
    """Levels keep their distance from the end: 8 places before it, sets of 5 reach it."""
    levels = {"places": 20, "ream_pitch_mm": 300, "stop_at_reams": 12, "restart_at_reams": 6}

    def told(bridge: dict[str, Any], places: str) -> list[str]:
        scenario = line(bridge=bridge)
        assert scenario.set_reams == 5
        notes = answered(scenario, buffer="bridge", places=places).notes
        return [note for note in notes if "with every set of reams" in note]

    (note,) = told(levels, "8,13,14,20")
    assert note.startswith("Of the bridges tried, one with 13 places or fewer is at its stop level")
    assert told(levels, "14,20,30") == []
    assert told({"places": 20, "ream_pitch_mm": 300}, "8,13,14,20") == []
