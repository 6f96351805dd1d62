"""What is not known of a line: ends, draws that agree with them, and faults."""

from typing import Any

import numpy as np
import pytest

from linesim.scenario import (
    Scenario,
    ScenarioFaults,
    check_mapping,
    check_text,
    doubted,
    drawn,
    dump,
    json_schema,
    scores,
    update,
    without_doubt,
)

PLANTS = 400
JAM: dict[str, Any] = {
    "cause": "wrapper jam",
    "every_reams": {"law": "exponential", "mean": 400},
    "restore_min": {"law": "lognormal", "mean": 0.9, "sd": 0.7},
}
DOUBTS: list[dict[str, Any]] = [
    {"of": "every_reams", "between": [300.0, 520.0], "why": "31 stops in the log", "stops": 31},
    {"of": "restore_min", "between": [0.7, 1.3]},
    {"of": "restore_min.sd", "between": [0.4, 1.6], "correlation": 0.8},
]
LINE: dict[str, Any] = {
    "stop": [JAM | {"doubt": DOUBTS}],
    "wrapper": [
        {
            "rate_reams_per_min": 50,
            "doubt": [{"of": "rate_reams_per_min", "between": [46.0, 54.0], "why": "the supplier"}],
        }
    ],
    "money": {
        "contribution_per_ream": 0.4,
        "doubt": [{"of": "contribution_per_ream", "between": [0.3, 0.5]}],
    },
}


def _line() -> Scenario:
    return check_mapping(LINE)


def _plants() -> list[Scenario]:
    line = _line()
    figures, stated = doubted(line), without_doubt(line)
    found = []
    for number in range(PLANTS):
        plant = scores(figures, 1, number)
        for sign in (1, -1):
            found.append(drawn(stated, figures, {name: sign * z for name, z in plant.items()}))
    return found


def test_the_ends_hold_95_of_100_plants_and_the_mean_is_what_is_stated() -> None:
    plants = _plants()
    rates = [plant.wrapper[0].rate_reams_per_min for plant in plants]
    assert np.mean(rates) == pytest.approx(50, rel=0.002)
    assert np.quantile(rates, [0.025, 0.975]) == pytest.approx([46, 54], rel=0.01)
    minutes = [plant.stop[0].restore_min.average() for plant in plants]
    assert np.mean(minutes) == pytest.approx(0.9, rel=0.01)


def test_plants_stop_on_average_as_often_as_stated() -> None:
    every = np.array([plant.stop[0].interval.average() for plant in _plants()])
    assert np.mean(1 / every) == pytest.approx(1 / 400, rel=0.01)
    assert np.mean(every) > 403  # else they would stop more often than stated


def test_the_spread_goes_with_the_mean_it_was_fitted_with() -> None:
    laws = [plant.stop[0].restore_min for plant in _plants()]
    means, spreads = (np.log([getattr(law, name) for law in laws]) for name in ("mean", "sd"))
    assert np.corrcoef(means, spreads)[0, 1] == pytest.approx(0.8, abs=0.06)


def test_a_figure_meets_the_same_plants_whatever_else_is_doubted() -> None:
    every = doubted(_line())
    alone = tuple(each for each in every if each.table == "wrapper")
    assert scores(alone, 3, 7)["wrapper.wrapper.rate_reams_per_min"] == pytest.approx(
        scores(every, 3, 7)["wrapper.wrapper.rate_reams_per_min"]
    )


def test_a_variant_moves_by_the_same_share() -> None:
    line = _line()
    figures, stated = doubted(line), without_doubt(line)
    plant = scores(figures, 1, 0)
    often = stated.varied(stop=[JAM | {"every_reams": {"law": "exponential", "mean": 200}}])
    once, twice = (drawn(each, figures, plant).stop[0].interval.mean for each in (stated, often))
    assert once == pytest.approx(2 * twice)


def test_without_doubt_the_line_is_what_it_is_without_any() -> None:
    stated = without_doubt(_line())
    assert "doubt = " not in dump(stated)
    bare = {"stop": [JAM], "wrapper": [{"rate_reams_per_min": 50}]}
    assert stated == check_mapping(bare | {"money": {"contribution_per_ream": 0.4}})
    assert (
        stated.model_dump()
        == check_mapping(bare | {"money": {"contribution_per_ream": 0.4}}).model_dump()
    )


def test_a_file_with_doubts_is_read_as_it_is_written() -> None:
    line = _line()
    assert check_text(dump(line)) == line
    text = update(
        "[bridge]\nlength_m = 7 # as built\n",
        {"bridge.doubt": [{"of": "length_m", "between": [6.8, 7.2], "why": "paced off"}]},
    )
    assert "# as built" in text
    assert doubted(check_text(text))[0].name == "bridge.length_m"


def test_plants_stay_within_what_is_legal_and_whole_numbers_whole() -> None:
    line = check_mapping(
        {
            "web_path": {
                "break_chance_at_splice": 0.9,
                "doubt": [{"of": "break_chance_at_splice", "between": [0.2, 1.0]}],
            },
            "crew": {"size": 3, "doubt": [{"of": "size", "between": [2, 5]}]},
        }
    )
    figures, stated = doubted(line), without_doubt(line)
    for number in range(40):
        plant = drawn(stated, figures, scores(figures, 1, number))
        assert 0 <= plant.web_path.break_chance_at_splice <= 1
        assert isinstance(plant.crew.size, int)


@pytest.mark.parametrize(
    ("doubt", "words"),
    [
        ({"of": "rate_ream_per_min", "between": [46, 54]}, "right would be: rate_reams_per_min"),
        ({"of": "rate_reams_per_min", "between": [54, 46]}, "ends are in the wrong order"),
        ({"of": "rate_reams_per_min", "between": [51, 54]}, "leaves out what is stated, 50"),
        ({"of": "rate_reams_per_min", "between": [-1, 54]}, "goes beyond what is legal"),
        ({"of": "name", "between": [1, 2]}, "is no figure|has no value here"),
        ({"of": "rate_reams_per_min", "between": [1, 2, 3]}, "has 3 entries"),
        ({"of": "rate_reams_per_min", "between": [46, 54], "correlation": 0.5}, "spread of a law"),
        ({"of": "rate_reams_per_min", "betwen": [46, 54]}, "did you mean|right would be"),
    ],
)
def test_a_doubt_that_cannot_be_is_named(doubt: dict[str, Any], words: str) -> None:
    with pytest.raises(ScenarioFaults, match=words):
        check_mapping({"wrapper": [{"rate_reams_per_min": 50, "doubt": [doubt]}]})


def test_what_a_lever_costs_may_be_doubted_and_how_far_it_goes_is_chosen() -> None:
    price = {"of": "faster_wrapper_price", "between": [70_000, 120_000]}
    far = {"of": "faster_wrapper_percent", "between": [5, 15]}
    (found,) = doubted(check_mapping({"levers": {"faster_wrapper_price": 9e4, "doubt": [price]}}))
    assert (found.name, found.is_money) == ("levers.faster_wrapper_price", True)
    with pytest.raises(ScenarioFaults, match="is chosen: there is nothing to know"):
        check_mapping({"levers": {"doubt": [far]}})


def test_all_faults_of_doubts_are_named_at_once() -> None:
    table = {"rate_reams_per_min": 50}
    doubts = [{"of": "rate", "between": [1, 2]}, {"of": "rate_reams_per_min", "between": [9, 1]}]
    with pytest.raises(ScenarioFaults) as found:
        check_mapping({"wrapper": [table | {"doubt": doubts}], "crew": {"size": -1}})
    assert [fault.field for fault in found.value.faults] == [
        "crew.size",
        "wrapper[0].doubt[0].of",
        "wrapper[0].doubt[1].between",
    ]


def test_a_field_with_a_fault_has_no_further_fault_for_its_doubts() -> None:
    doubts = [{"of": f"restore_min{part}", "between": [0.5, 2]} for part in ("", ".sd")]
    stop = {"cause": "wrapper jam", "restore_min": {"law": "lognormal", "mean": 1}}
    with pytest.raises(ScenarioFaults) as found:
        check_mapping({"stop": [stop | {"doubt": doubts}]})
    assert [fault.field for fault in found.value.faults] == ["stop[0].restore_min.sd"]


def test_the_schema_knows_doubts() -> None:
    assert "doubt" in json_schema()["$defs"]["Stop"]["properties"]
    assert set(json_schema()["$defs"]["Doubt"]["required"]) == {"of", "between"}
