"""Dirty stop logs: each kind has its clear outcome, and no row is lost."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from linesim.plant.log_settings import LogSettings
from linesim.plant.row_reasons import would_be_right
from linesim.plant.stop_log import NOT_ASKED_FOR, StopLog
from linesim.scenario.faults import ScenarioFaults
from tests.plant.logs import read_stop_log


def read(tmp_path: Path, text: str, encoding: str = "utf-8", **options) -> StopLog:
    path = tmp_path / "log.csv"
    path.write_bytes(text.encode(encoding))
    dates = {name: options.pop(name) for name in ("since", "until") if name in options}
    return read_stop_log(path, LogSettings(**options), **dates)


def reasons(log: StopLog) -> dict[int, str]:
    """Why rows were left out, by their lines; each reason says what would be right."""
    wrong = [each.reason for each in log.left_out if each.reason != NOT_ASKED_FOR]
    assert all(map(would_be_right, wrong))
    return {each.line: each.reason for each in log.left_out}


def test_german_export_semicolons_decimal_comma_old_encoding(tmp_path: Path) -> None:
    log = read(
        tmp_path,
        "Störungsliste Linie 1;;;\n\nDatum;Beginn;Dauer [min];Maschine;Störung\n"
        "13.02.2026;23:58;4,5;Wickler;Rolle gewechselt\n14.02.2026;06:10;12;Förderband;Stau\n",
        "cp1252",
    )
    assert log.read_as == "Windows-1252, semicolons between columns"
    assert log.columns["minutes"] == "Dauer [min]"
    assert [stop.minutes for stop in log.stops] == [4.5, 12]
    assert log.stops[0].start == dt.datetime(2026, 2, 13, 23, 58)
    assert log.stops[0].end == dt.datetime(2026, 2, 14, 0, 2, 30)
    assert log.stops[1].cause == "Stau"
    assert not log.left_out


def test_across_midnight_by_time_of_day_and_us_dates(tmp_path: Path) -> None:
    log = read(
        tmp_path,
        "date,from,to,machine,reason\n2/13/2026,11:50 pm,12:10 am,wrapper,jam\n"
        "2/14/2026,1:00 pm,12:55 pm,wrapper,jam\n",
    )
    assert log.stops[0].start == dt.datetime(2026, 2, 13, 23, 50)
    assert log.stops[0].minutes == 20
    # An end five minutes before the start can only be the next day: a day long, so no stop.
    assert reasons(log) == {3: "longer than 12 h"}
    assert log.notes == ("Dates of the log are read month first: numbers above 12 are days.",)


def test_a_clock_in_german_words(tmp_path: Path) -> None:
    log = read(
        tmp_path,
        "Datum;Beginn;Ende;Maschine;Grund\n13.02.2026;7 Uhr 30;7 Uhr 45;Wickler;Stau\n"
        "13.02.2026;8 Uhr;8:12 Uhr;Wickler;Stau\nSumme;;27;;\n",
    )
    assert [each.may_be_stop for each in log.left_out] == [False]
    assert [stop.minutes for stop in log.stops] == [15, 12]
    assert log.stops[0].start == dt.datetime(2026, 2, 13, 7, 30)


def test_rows_that_cannot_be_right_are_listed_with_their_reason(tmp_path: Path) -> None:
    log = read(
        tmp_path,
        "start,end,minutes,station,cause\n"
        "2026-02-13 08:00,2026-02-13 08:10,10,wrapper,jam\n"
        "yesterday,2026-02-13 08:10,,wrapper,jam\n"
        "2026-02-13,2026-02-13 08:10,,wrapper,jam\n"
        "2026-02-13 09:00,2026-02-13 08:30,,wrapper,jam\n"
        "2026-02-13 09:00,2026-02-13 09:00,,wrapper,jam\n"
        "2026-02-13 10:00,,,wrapper,jam\n"
        "2026-02-13 10:00,,-5,wrapper,jam\n"
        "2026-02-13 10:00,2026-02-13 10:10,25,wrapper,jam\n"
        "2026-02-13 11:00,2026-02-13 11:10,,wrapper, - \n"
        "Total,,35,,\n",
    )
    assert len(log.stops) == 1
    assert reasons(log) == {
        3: "start cannot be read: 'yesterday'",
        4: "start cannot be read: '2026-02-13'",
        5: "end before start",
        6: "lasts no time as logged",
        7: "neither end nor length",
        8: "length below 0",
        9: "start, end and length contradict each other",
        10: "no cause",
        11: "start cannot be read: 'Total'",
    }
    assert log.rows == 10
    assert [each.line for each in log.left_out if not each.may_be_stop] == [3, 11]


def test_duplicates_stops_within_stops_and_overlaps(tmp_path: Path) -> None:
    log = read(
        tmp_path,
        "start;end;station;cause\n"
        "2026-02-13 08:00;2026-02-13 08:30;Wrapper;jam\n"
        "2026-02-13 08:00;2026-02-13 08:30;wrapper;JAM\n"
        "2026-02-13 08:10;2026-02-13 08:20;wrapper;label\n"
        "2026-02-13 08:25;2026-02-13 08:40;wrapper;label\n"
        "2026-02-13 08:10;2026-02-13 08:20;cutter;knives\n",
    )
    assert reasons(log) == {
        3: "the same stop as line 2",
        4: "within the stop of line 2 at the same station",
    }
    assert [(each.line, each.reason) for each in log.amended] == [
        (5, "5 min cut off its start, where line 2 still stood")
    ]
    assert sorted((stop.station, stop.minutes) for stop in log.stops) == [
        ("Wrapper", 30),
        ("cutter", 10),
        ("wrapper", 10),
    ]


def test_clock_change_offsets_and_a_mistyped_year(tmp_path: Path) -> None:
    good = "".join(
        f"2026-03-{day:02} 10:00;2026-03-{day:02} 10:05;5;gate;dust\n" for day in range(1, 28)
    )
    log = read(
        tmp_path,
        "start;end;duration min;station;cause\n"
        + good
        + "2026-03-29 01:50;2026-03-29 03:10;20;gate;dust\n"
        "2062-03-14 10:00;2062-03-14 10:05;5;gate;dust\n"
        "2026-03-29T12:00:00+01:00;2026-03-29T13:05:00+02:00;5;gate;dust\n",
    )
    assert reasons(log) == {30: "its date is more than 60 days from all others"}
    assert [each.line for each in log.amended] == [29]
    assert "clock changed" in log.amended[0].reason
    by_line = {stop.line: stop for stop in log.stops}
    assert by_line[29].minutes == 20
    assert by_line[31].minutes == 5


def test_workbook_with_a_length_in_seconds(tmp_path: Path) -> None:
    from openpyxl import Workbook

    book = Workbook()
    sheet = book.active
    sheet.append(["Start time", "Duration (s)", "Equipment", "Fault"])
    sheet.append([dt.datetime(2026, 2, 13, 8), 90, "wrapper", "jam"])
    sheet.append([None, 90, "wrapper", "jam"])
    path = tmp_path / "log.xlsx"
    book.save(path)
    log = read_stop_log(path)
    assert log.stops[0].minutes == 1.5
    assert reasons(log) == {3: "no start"}


def test_columns_told_by_hand_and_all_faults_at_once(tmp_path: Path) -> None:
    text = "a,b,c,d\n2026-02-13 08:00,4,wrapper,jam\n"
    told = {"start": "A", "minutes": "b", "station": "c", "cause": "d"}
    assert read(tmp_path, text, columns=told).stops[0].minutes == 4
    with pytest.raises(ScenarioFaults) as caught:
        read(tmp_path, text, columns={"start": "zz", "begin": "a"})
    said = str(caught.value)
    assert "there is no column 'zz'" in said
    assert "is no column to tell" in said
    assert "no column is known as cause" in said
    assert "no column is known as end (or minutes)" in said


def test_a_column_that_the_log_has_not(tmp_path: Path) -> None:
    text = "start,end,min,cause\n2026-02-13 08:00,shift 2,4,jam\n"
    assert reasons(read(tmp_path, text)) == {2: "end cannot be read: 'shift 2'"}
    assert len(read(tmp_path, text, columns={"end": ""}).stops) == 1
    with pytest.raises(ScenarioFaults, match="no column is known as cause"):
        read(tmp_path, text, columns={"cause": ""})


def test_time_asked_for(tmp_path: Path) -> None:
    log = read(
        tmp_path,
        "start,minutes,cause\n2026-02-13 08:00,4,jam\n2026-02-14 08:00,4,jam\n",
        since=dt.datetime(2026, 2, 14),
    )
    assert reasons(log) == {2: "outside the time asked for"}
    assert log.stops[0].station == ""


def hours(log: StopLog) -> list[float]:
    """When each stop began, h since the log did."""
    assert log.counter is not None
    return [round((s.start - log.counter.began).total_seconds() / 3600, 6) for s in log.stops]


def test_a_counter_of_hours_since_the_log_began(tmp_path: Path) -> None:
    log = read(
        tmp_path,
        "Zähler [h];Dauer [min];Station;Ursache\n1,5;6;wrapper;jam\n2,5;30;wrapper;jam\n"
        "3,0;12;gate;dust\n2,8;12;gate;dust\n30;6;wrapper;jam\n;6;wrapper;jam\nvoll;6;gate;x\n"
        "40;6;gate; -\n",
    )
    assert log.counter is not None
    assert (log.counter.unit, log.counter.stands) == ("h", False)
    assert hours(log) == [1.5, 2.5, 3.0, 30.0]
    assert [stop.minutes for stop in log.stops] == [6, 30, 12, 6]
    assert reasons(log) == {
        5: "the counter runs backwards: 2.8 h after 3 h of line 4",
        7: "no counter reading",
        8: "counter cannot be read: 'voll'",
        9: "no cause",
    }
    assert "begun at 0 with the log" in log.notes[1]
    assert not log.dated


def test_an_hour_meter_that_stands_in_stops_rolls_over_and_is_set_back(tmp_path: Path) -> None:
    readings = [99_990.0, 99_992, 99_994, 99_996, 99_999, 2, 4, 4.1, 6, 8, 0.5, 1, 1.5, 2, 2.5]
    rows = "".join(f"{at},30,wrapper,jam {n}\n" for n, at in enumerate(readings))
    log = read(tmp_path, "machine hours,minutes,station,cause\n" + rows)
    assert log.counter is not None
    assert log.counter.stands
    # Half an hour of each stop before comes on top; the first reading is where the log begins.
    counted = [0, 2, 4, 6, 9, 12, 14, 14.1, 16, 18, 18.5, 19, 19.5, 20, 20.5]
    assert hours(log) == [round(at + n / 2, 6) for n, at in enumerate(counted)]
    said = " ".join(log.notes)
    assert "rolled over before line 7" in said
    assert "set back before line 12" in said
    assert "not part of the log" in said
    three = "machine hours,minutes,station,cause\n" + "".join(rows.splitlines(keepends=True)[:3])
    assert hours(read(tmp_path, three, counter_stands=False)) == [0, 2, 4]


def test_readings_tell_that_a_counter_stands_and_columns_of_numbers_are_counters(
    tmp_path: Path,
) -> None:
    rows = "".join(f"{n * 10};45;wrapper;jam\n" for n in range(1, 9))
    log = read(tmp_path, "Start (min);Length min;Machine;Reason\n" + rows)
    assert log.columns["counter"] == "Start (min)"
    assert log.counter is not None
    assert log.counter.stands
    assert hours(log)[1] == pytest.approx((20 + 45) / 60)
    ends = read(tmp_path, "counter s,end,cause\n10,40,jam\n90,100,jam\n")
    assert [stop.minutes for stop in ends.stops] == [0.5, pytest.approx(1 / 6)]


def test_a_counter_that_nothing_can_be_is_left_out(tmp_path: Path) -> None:
    rows = "".join(f"{n},6,wrapper,jam\n" for n in (1, 2, 3, 1e9, 1e15, 1e300, "inf", -4))
    log = read(tmp_path, "counter h,min,station,cause\n" + rows)
    assert hours(log) == [1, 2, 3]
    assert reasons(log)[5] == "its counter is 100 years or more after the first"
    assert len(log.left_out) == 5
    nothing = read(tmp_path, "counter h,min,station,cause\nx,6,wrapper,jam\n")
    assert (nothing.rows, nothing.stops) == (1, ())


def test_newest_first_a_date_for_the_counter_and_what_is_no_counter(tmp_path: Path) -> None:
    head = "elapsed h,min,station,cause\n"
    text = head + "".join(f"{n},6,wrapper,jam\n" for n in (9, 7, 5, 3, 1))
    began = dt.datetime(2026, 3, 2, 6)
    log = read(tmp_path, text, counter_began=began, until=dt.datetime(2026, 3, 2, 12))
    assert [stop.start.hour for stop in log.stops] == [7, 9, 11]
    assert reasons(log) == {2: "outside the time asked for", 3: "outside the time asked for"}
    with pytest.raises(ScenarioFaults, match="dates are asked for, but a counter has none"):
        read(tmp_path, text, since=began)
    mixed = head + "".join(f"{n % 7},6,wrapper,jam\n" for n in range(0, 90, 3))
    with pytest.raises(ScenarioFaults, match="runs backwards in 4 of 7 rows"):
        read(tmp_path, mixed)
    apart = head + "".join(
        f"{a},6,{b},jam\n" for n in range(20) for a, b in ((n, "x"), (900 - n, "y"))
    )
    apart = apart.replace(",y,", ",gate,").replace(",x,", ",wrapper,")
    with pytest.raises(ScenarioFaults, match="a counter of its own"):
        read(tmp_path, apart)


def test_a_bad_date_is_told_from_a_bad_time_and_from_another_order(tmp_path: Path) -> None:
    log = read(
        tmp_path,
        "Datum;Beginn;Min;Ort;Ursache\n02.03.2026;06:10;2;gate;jam\n13.03.2026;06:10;2;gate;jam\n"
        "31.02.2026;07:00;2;gate;jam\n02.03.2026;25:10;2;gate;jam\n;07:00;2;gate;jam\n"
        "03/13/2026;07:00;2;gate;jam\n",
    )
    assert reasons(log) == {
        4: "date cannot be read: '31.02.2026'",
        5: "start cannot be read: '25:10'",
        6: "start cannot be read: '07:00'",
        7: "date in another order: '03/13/2026'",
    }


def test_lengths_with_commas_and_points_are_told(tmp_path: Path) -> None:
    head, rows = "start;min;station;cause\n", "2026-03-0{} 06:10;{};gate;jam\n"
    both = read(tmp_path, head + rows.format(1, "2,5") + rows.format(2, "1.500"))
    said = "Lengths have decimal commas and decimal points ('2,5', '1.500'): both are read as such"
    assert f"{said}, '1.500' as 1.5." in both.notes
    one = read(tmp_path, head + rows.format(1, "2,5") + rows.format(2, "3"))
    assert one.notes == ()


def test_dates_of_both_orders_are_not_said_to_have_no_number_above_12(tmp_path: Path) -> None:
    rows = "".join(f"{day} 06:10;2;gate;jam\n" for day in ("13/03/2026", "03/14/2026"))
    (note,) = read(tmp_path, "start;min;station;cause\n" + rows).notes
    assert "numbers above 12 stand first and second, and nothing tells" in note


@pytest.mark.parametrize("behind", ["", "2026-03-04 06:10;2;gate;jam\n" * 60])
def test_a_quote_that_swallows_rows_is_refused_with_its_line(behind: str, tmp_path: Path) -> None:
    text = 'start;min;station;cause\n2026-03-01 06:10;2;gate;"jam\n2026-03-02 06:10;2;gate;jam\n'
    with pytest.raises(ScenarioFaults) as refused:
        read(tmp_path, text + behind)
    (fault,) = refused.value.faults
    assert (fault.line, fault.problem[:17]) == (2, "a quote is opened")


def test_a_remark_of_several_lines_is_a_remark(tmp_path: Path) -> None:
    log = read(
        tmp_path,
        'remark;start;min;station;cause\n"two\nlines; one; two; three; four";2026-03-01 06:10;2;'
        'gate;5" reel\nnone;2026-03-02 06:10;2;gate;jam\n',
    )
    assert [stop.line for stop in log.stops] == [2, 4]
