"""Accounts by state and cause, and who holds the line."""

import pytest

from linesim.record import Loss, State
from linesim.record.accounts import station_accounts
from linesim.record.constraint import Waits, by_pattern
from linesim.record.paper_use import paper_use
from tests.record.by_hand import MINUTE, books_of, record, scenario

BREAK, JAM = 1, 2


def account_of_stops():
    """Knives: 50 min run, 6 wait for the web path, 4 for the wrapper."""
    unit = MINUTE
    line = scenario()
    web_path, cutter, wrapper = 1, 3, 9
    sums = {(n, State.RUNNING, 0, -1, -1): 60 * unit for n in range(10)}
    del sums[cutter, State.RUNNING, 0, -1, -1], sums[web_path, State.RUNNING, 0, -1, -1]
    sums |= {
        (cutter, State.RUNNING, 0, -1, -1): 50 * unit,
        (cutter, State.STARVED, BREAK, web_path, BREAK): 6 * unit,
        (cutter, State.BLOCKED, JAM, wrapper, JAM): 4 * unit,
        (web_path, State.RUNNING, 0, -1, -1): 50 * unit,
        (web_path, State.DOWN, BREAK, -1, -1): 5 * unit,
        (web_path, State.WAITING_PEOPLE, BREAK, -1, -1): 1 * unit,
        (web_path, State.BLOCKED, JAM, wrapper, JAM): 4 * unit,
    }
    made = record(
        line,
        sheeter={Loss.PRODUCING: 60},
        others={Loss.PRODUCING: 60},
        books=books_of(good=0, cuts_to_pockets=0),
        sums=sums,
        causes=("", "web break", "wrapper jam"),
    )
    return {account.station: account for account in station_accounts(made)}


def test_sheeter_takes_the_states_of_the_part_it_stood_for():
    sheeter = account_of_stops()["sheeter"]
    minutes = {state: ns / MINUTE for state, ns in sheeter.by_state.items() if ns}
    assert minutes == {"running": 50, "down": 5, "waiting for people": 1, "blocked": 4}
    assert {cause: ns / MINUTE for cause, ns in sheeter.by_cause.items()} == {
        "web break": 6,
        "blocked by wrapper: wrapper jam": 4,
    }


def test_parts_keep_accounts_of_their_own():
    accounts = account_of_stops()
    assert accounts["cutter"].part_of_sheeter
    assert not accounts["wrapper"].part_of_sheeter
    assert accounts["cutter"].by_state["starved"] == 6 * MINUTE


@pytest.mark.parametrize(
    ("line", "holds"),
    [
        ([(0, 0.3), (0, 0)], "1"),
        ([(0, 0), (0.3, 0)], "0"),
        ([(0, 0.3), (0, 0.0), (0.3, 0)], "1"),
        ([(0, 0.1), (0.05, 0.3), (0.1, 0)], "2"),
        # Two stations at which arrows only arrive: the one waited for more.
        ([(0, 0.0), (0.1, 0.5), (0.1, 0.0)], "2"),
        ([(0, 0.0), (0.5, 0.2), (0.1, 0.0)], "0"),
        ([(0, 0)], "0"),
    ],
)
def test_arrows_point_to_what_holds_the_line(line, holds):
    waits = [Waits(str(n), starved, blocked) for n, (starved, blocked) in enumerate(line)]
    assert by_pattern(waits) == holds


def test_paper_use_by_mass():
    books = books_of(
        good=900,
        cuts_to_pockets=20_000,
        repulped=20,
        sheets_cleared=500,
        rejected={"after_stop": 300, "defect": 100},
    )
    sheet_ug = 4_989_600  # 210 x 297 mm of 80 g/m2 is 4.9896 g; in units of a microgram
    books.mass_ug.update(
        to_pockets=500_000 * sheet_ug,
        rejected=10_000 * sheet_ug,
        edge_trim=510 * sheet_ug,
    )
    use = paper_use(
        record(scenario(), sheeter={Loss.PRODUCING: 20}, others={Loss.PRODUCING: 20}, books=books)
    )
    ream = 500 * sheet_ug / 1e9
    assert use.good_reams_kg == pytest.approx(900 * ream)
    assert use.lost_kg["rejected after a stop"] == pytest.approx(15 * ream)
    assert use.lost_kg["cleared out of pockets"] == pytest.approx(ream)
    assert use.lost_kg["edge trim"] == pytest.approx(1.02 * ream)
    assert use.on_the_line_kg == pytest.approx((1000 - 1 - 920) * ream)
    lost = 20 + 1 + 20 + 1.02
    assert use.waste_fraction == pytest.approx(lost / (900 + lost))
