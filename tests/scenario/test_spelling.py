"""A hint names the field that was meant, or none at all."""

from __future__ import annotations

import pytest

from linesim.scenario import ScenarioFaults, check_text
from linesim.scenario.fields import fields_of, member_types
from linesim.scenario.laws import LAWS
from linesim.scenario.scenario import Scenario
from linesim.scenario.spelling import nearest

TABLES = {
    name: next(m for m in member_types(info.annotation) if hasattr(m, "model_fields"))
    for name, info in fields_of(Scenario).items()
    if any(hasattr(m, "model_fields") for m in member_types(info.annotation))
}


@pytest.mark.parametrize(
    ("table", "written", "meant"),
    [
        ("bridge", "lenght_m", "length_m"),
        ("bridge", "length_mm", "length_m"),
        ("bridge", "belt_length_m", "length_m"),
        ("cutter", "speed", "web_speed_m_per_min"),
        ("cutter", "webspeed_m_per_min", "web_speed_m_per_min"),
        ("wrapper", "wrap_time_s", "wrap_s"),
        ("wrapper", "rate", "rate_reams_per_min"),
        ("stop", "spoil_reams", "spoils_reams"),
        ("stop", "restor_min", "restore_min"),
        ("product", "speed_m_per_min", None),
        ("product", "lanes_count", None),
        ("wrapper", "breaks_per_km", None),
        ("calendar", "breaks_per_km", None),
        ("unwind", "belt_length_m", None),
        ("bridge", "web_width_mm", None),
        ("order", "reels", None),
        ("line", "number", None),
        ("wrapper", "wrapers", None),
        ("rework", "restor_min", None),
        ("stop", "every_km", "every_web_km"),
    ],
)
def test_a_hint_names_what_is_meant_and_nothing_else(
    table: str, written: str, meant: str | None
) -> None:
    assert nearest(written, list(fields_of(TABLES[table]))) == meant


def test_every_field_is_found_with_two_letters_changed_about() -> None:
    for table in TABLES.values():
        known = list(fields_of(table))
        for name in known:
            first = name.split("_")[0]
            if len(first) > 4:
                slip = first[:2] + first[3] + first[2] + first[4:] + name[len(first) :]
                assert nearest(slip, known) == name


def test_what_is_near_nothing_gets_the_list() -> None:
    with pytest.raises(ScenarioFaults) as faulty:
        check_text("format = 1\n[wrap]\n[product]\nspeed_m_per_min = 3\n")
    hints = [fault.would_be_right for fault in faulty.value.faults]
    assert any("one of" in hint and "sheet_width_mm" in hint for hint in hints)


def test_laws_are_known_by_their_beginning() -> None:
    assert nearest("expo", list(LAWS)) == "exponential"
    assert nearest("log-normal", list(LAWS)) == "lognormal"
    assert nearest("cauchy", list(LAWS)) is None
    assert nearest("x" * 200, list(LAWS)) is None
    assert nearest("", ["a"]) is None
    assert nearest("a", []) is None
