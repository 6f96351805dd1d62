"""What is said of people, legal field by field, that cannot be true together."""

from typing import Any

import pytest

from tests.scenario.test_contradictions import OWN, PAIRED, found_alone

CLASHES: dict[str, tuple[dict[str, Any], str, str]] = {
    "nobody to drive the reel truck": (
        {"reel_truck": {"people": 3}, "crew": {"size": 2}},
        "reel_truck.people",
        "2",
    ),
    "more people for blanks than there are": (
        {"carton_packer": {"magazine_blanks": 200, "refill_people": 3}, "crew": {"size": 2}},
        "carton_packer[0].refill_people",
        "at most 2",
    ),
    "more people for pallets than there are": (
        {"carton_packer": {}, "palletiser": {"change_people": 3}, "crew": {"size": 2}},
        "palletiser.change_people",
        "at most 2",
    ),
    "more people to fetch than there are": (
        {
            "carton_packer": {},
            "palletiser": {"fetch_min": 2, "fetch_people": 3},
            "crew": {"size": 2},
        },
        "palletiser.fetch_people",
        "at most 2",
    ),
    "stop for more people than there are": (
        {"crew": {"size": 1}, "stop": [OWN | {"people": 2}]},
        "stop[0].people",
        "at most 1",
    ),
    "nobody to change a reel": (
        {"crew": {"size": 0}},
        "unwind.change_people",
        "larger size in [crew]",
    ),
    "nobody to prepare a stand": (
        {"crew": {"size": 0}, "unwind": PAIRED},
        "unwind.prepare_people",
        "at most 0",
    ),
    "too few to re-thread": (
        {"crew": {"size": 2}, "web_path": {"breaks_per_100_reels": 3, "rethread_people": 3}},
        "web_path.rethread_people",
        "at most 2",
    ),
    "too few for a roll": (
        {"crew": {"size": 1}, "wrapper": [{"roll_length_m": 3000, "roll_change_people": 2}]},
        "wrapper[0].roll_change_people",
        "at most 1",
    ),
    "nobody in any group can": (
        {"crew": {"size": 0}, "crew_group": [{"name": "wrapping", "can": "wrapper, rework"}]},
        "unwind.change_people",
        "at most 0, or more people who can",
    ),
    "never together": (
        {
            "crew": {"size": 0},
            "unwind": {"change_people": 2},
            "crew_group": [
                {"name": "early", "last_shift": 2},
                {"name": "late", "first_shift": 3, "can": "reels"},
            ],
        },
        "unwind.change_people",
        "at most 1",
    ),
    "groups, and who is there besides is not said": (
        {"crew_group": [{"name": "day", "last_shift": 1}]},
        "crew.size",
        "0 where the groups are all there are",
    ),
    "two groups of one name": (
        {"crew": {"size": 3}, "crew_group": [{"name": "a"}, {"name": "a"}]},
        "crew_group[1].name",
        "a name for each",
    ),
    "a group on a shift that is not worked": (
        {
            "crew": {"size": 3},
            "calendar": {"shifts_per_day": 2},
            "crew_group": [{"name": "night", "first_shift": 3}],
        },
        "crew_group[0].name",
        "other shifts",
    ),
    "a group from Friday to Tuesday": (
        {"crew": {"size": 3}, "crew_group": [{"name": "a", "first_day": 5, "last_day": 2}]},
        "crew_group[0].name",
        "other shifts or days",
    ),
    "work that there is not": (
        {"crew": {"size": 3}, "crew_group": [{"name": "a", "can": "reels, wraper"}]},
        "crew_group[0].can",
        '"wrapper"',
    ),
    "shifts that have no number in the day": (
        {
            "line": {"shift_hours": 7},
            "crew": {"size": 3},
            "crew_group": [{"name": "a", "last_shift": 1}],
        },
        "crew_group[0].last_shift",
        "shifts_per_day",
    ),
    "a place of no station": (
        {"crew": {"walk_m_per_s": 1}, "station_place": [{"name": "wraper", "at_m": 40}]},
        "station_place[0].name",
        '"wrapper"',
    ),
    "a place of a station that the line has not": (
        {"crew": {"walk_m_per_s": 1}, "station_place": [{"name": "palletiser", "at_m": 40}]},
        "station_place[0].name",
        "one of unwind",
    ),
    "a station at two places": (
        {
            "crew": {"walk_m_per_s": 1},
            "station_place": [{"name": "gate", "at_m": 4}, {"name": "gate", "at_m": 5}],
        },
        "station_place[1].name",
        "one place",
    ),
    "places, and nobody walks": (
        {"station_place": [{"name": "gate", "at_m": 4}]},
        "station_place[0].name",
        "walk_m_per_s",
    ),
    "people walk, and all stands in one place": (
        {"crew": {"walk_m_per_s": 1}},
        "crew.walk_m_per_s",
        "[[station_place]]",
    ),
    "a person by the year and by the hour": (
        {"money": {"wage_per_h": 30, "person_cost_per_year": 50_000}},
        "money.person_cost_per_year",
        "one of the two",
    ),
    "a group by the hour, one more person by the year": (
        {
            "crew": {"size": 3},
            "crew_group": [{"name": "a", "wage_per_h": 30}],
            "money": {"person_cost_per_year": 50_000},
        },
        "money.person_cost_per_year",
        "one of the two",
    ),
    "wages of some": (
        {"crew": {"size": 3}, "crew_group": [{"name": "a", "wage_per_h": 30}]},
        "crew_group[0].wage_per_h",
        "who have none of their own",
    ),
    "too few for rework": (
        {"crew": {"size": 1}, "rework": {"places": 5, "people": 2}},
        "rework.people",
        "at most 1",
    ),
    "too few for planned work": (
        {"planned_work": [{"name": "cleaning", "start_h": 1, "minutes": 9, "people": 4}]},
        "planned_work[0].people",
        "at most 3",
    ),
    "too few for a change-over": (
        {
            "crew": {"size": 1},
            "order": [{"name": "x", "reams": 1}, {"name": "y", "reams": 1, "thickness_um": 90}],
        },
        "changeover.people",
        "at most 1",
    ),
}


@pytest.mark.parametrize("name", CLASHES)
def test_a_contradiction_is_found_alone_and_says_what_would_be_right(name: str) -> None:
    found_alone(*CLASHES[name])
