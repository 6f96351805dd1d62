"""The accounts of the stations, kept while the line runs.

A station is in one state at a time, from the moment the last one ended: so the account can have
neither gap nor overlap. Sums are always kept, every span of time only in a run with a history.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import compress

from linesim.line.history import ROOT_BITS, note
from linesim.line.line import Line
from linesim.line.typed import BACKWARDS, Aside, Row, add, shorten
from linesim.record import SpanKey
from linesim.record.states import Kind, Loss, State

RUNNING, SLOWED, STARVED = int(State.RUNNING), int(State.SLOWED), int(State.STARVED)
BLOCKED, DOWN, CHANGEOVER = int(State.BLOCKED), int(State.DOWN), int(State.CHANGEOVER)
WAITING_PEOPLE, WAITING_REEL = int(State.WAITING_PEOPLE), int(State.WAITING_REEL)
PLANNED = int(State.PLANNED)
_COUNT = 15
"""In place of a state: the sum is a number of stops."""
RATE, STOP, SET_UP, CALENDAR = int(Kind.RATE), int(Kind.STOP), int(Kind.SET_UP), int(Kind.CALENDAR)
_PRODUCING, _PLANNED_LOSS, _BREAKDOWN = int(Loss.PRODUCING), int(Loss.PLANNED), int(Loss.BREAKDOWN)
_SET_UP_LOSS, _MINOR = int(Loss.SET_UP), int(Loss.MINOR)
LOSSES = len(Loss)

NO_CAUSE = 0
"""Number of the cause of what simply runs, or cannot keep up."""
NO_ROOT = 0

# A root is a station and a cause, either may be -1, in one number: the two of it below. So is the
# key of a sum: station, state, cause, root.
_ROOT_OF_NONE = 1 << ROOT_BITS
_STATES = 16
_STATIONS = 1 << 8


def root_at(station: int, cause: int) -> int:
    """Station and cause in one number."""
    return (station + 1) * _ROOT_OF_NONE + cause + 1


def station_of(root: int) -> int:
    """The station of a root; -1: none."""
    return root // _ROOT_OF_NONE - 1


def cause_of(root: int) -> int:
    """The cause of a root; -1: none."""
    return root % _ROOT_OF_NONE - 1


@dataclass(slots=True)
class Account:
    """One station's. ``losses_ns`` by ``Loss``."""

    station: int
    losses_ns: Row[int]
    state: int = STARVED
    cause: int = NO_CAUSE
    root: int = NO_ROOT
    since_ns: int = 0
    stood_ns: int = 0
    """Length of its standstill so far ..."""
    stopped_ns: int = 0
    """... and of the stops in it."""
    ran_ns: int = 0
    """What it has run at rated speed."""
    last_key: int = 0
    """The sum last added to, which is often the next one, too, and its place."""
    last_place: int = 0
    paced_ns: int = 0
    """What it has waited in its present span at a neighbour's pace."""


@dataclass(slots=True)
class Accounts:
    """Those of all stations; causes are numbers."""

    of: Row[Account]
    trial: Account
    """To see what losses would be, were an open span to end now."""
    kinds: Row[int]
    """Of every cause."""
    late: Row[int]
    """Numbers of the causes that get theirs when they are first met; -1: not yet."""
    late_kinds: Row[int]
    keys: Row[int]
    """A table of sums, with open addressing: 0 is an empty place."""
    sums: Row[int]
    """ns, or stops counted, of each key."""
    minor_ns: int
    """Standstills shorter than this are minor stops."""
    stations: Aside[tuple[str, ...]]
    names: Aside[list[str]]
    """Of the causes."""
    late_names: Aside[list[str]]


class CauseNames:
    """The causes met so far, by name and kind: each gets the next number."""

    def __init__(self) -> None:
        self.numbers = {("", Kind.RATE): NO_CAUSE}

    def number(self, name: str, kind: Kind) -> int:
        """The number of a cause, new or known."""
        return self.numbers.setdefault((name, kind), len(self.numbers))


def new_accounts(
    stations: tuple[str, ...], causes: CauseNames, late: list[tuple[str, Kind]], minor_ns: int
) -> Accounts:
    """Accounts of a line at rest. ``late``: causes that get their numbers as they are met."""

    def account(station: int) -> Account:
        return Account(station, Row("losses", LOSSES, [0] * LOSSES))

    kinds = [kind for _, kind in causes.numbers]
    most = len(kinds) + len(late)
    # A station can wait for any cause of any other in either of two states; few ever do.
    places = 1 << max(12, (4 * len(stations) * most).bit_length())
    return Accounts(
        of=Row("stations", len(stations), map(account, range(len(stations)))),
        trial=account(0),
        kinds=Row("causes", most, [int(kind) for kind in kinds]),
        late=Row("causes", len(late), [causes.numbers.get(each, -1) for each in late]),
        late_kinds=Row("causes", len(late), [int(kind) for _, kind in late]),
        keys=Row("kinds of lost time", places, [0] * places),
        sums=Row("kinds of lost time", places, [0] * places),
        minor_ns=minor_ns,
        stations=stations,
        names=[name for name, _ in causes.numbers],
        late_names=[name for name, _ in late],
    )


def _place(line: Line, key: int) -> int:
    """The place of a key in the table of sums."""
    keys = line.accounts.keys
    last = len(keys) - 1
    place = (key ^ (key >> 13) ^ (key >> 26)) & last
    for _ in range(len(keys)):
        if keys[place] == key:
            return place
        if keys[place] == 0:
            keys[place] = key
            return place
        place = (place + 1) & last
    line.given_up = keys.code
    return 0


def _sum(line: Line, station: int, state: int, cause: int, root: int, ns: int) -> None:
    account = line.accounts.of[station]
    if state == RUNNING:
        account.ran_ns += ns
        return
    key = ((station * _STATES + state) << ROOT_BITS) + cause
    key = key * (_STATIONS << ROOT_BITS) + root + 1  # above 0: 0 marks an empty place
    if key != account.last_key:
        account.last_key = key
        account.last_place = _place(line, key)
    line.accounts.sums[account.last_place] += ns


def late_cause(line: Line, late: int) -> int:
    """The number of a cause that gets one when it is first met."""
    accounts = line.accounts
    if accounts.late[late] < 0:
        accounts.late[late] = len(accounts.kinds)
        add(line, accounts.kinds, accounts.late_kinds[late])
    return accounts.late[late]


def count_stop(line: Line, station: int, cause: int) -> None:
    _sum(line, station, _COUNT, cause, NO_ROOT, 1)


def enter(line: Line, station: int, at_ns: int, state: int, cause: int, root: int) -> None:
    """From ``at_ns`` on the station is in ``state``; nothing happens where it already is."""
    account = line.accounts.of[station]
    if account.state == state and account.cause == cause and account.root == root:
        return
    _close(line, account, at_ns)
    if state <= SLOWED:
        _has_stood(line, account)
    account.state = state
    account.cause = cause
    account.root = root
    account.since_ns = at_ns


def run(line: Line, station: int, at_ns: int) -> None:
    """From ``at_ns`` on the station simply runs."""
    enter(line, station, at_ns, RUNNING, NO_CAUSE, NO_ROOT)


def wait(line: Line, station: int, at_ns: int, state: int, root: int) -> None:
    """From ``at_ns`` on it is starved, or blocked, by that station and cause."""
    enter(line, station, at_ns, state, cause_of(root), root)


def wait_at_pace(line: Line, station: int, start_ns: int, waited_ns: int, root: int) -> None:
    """A working station waits, from ``start_ns`` on, piece by piece, for a neighbour.

    That is one span, slowed by the neighbour, however many pieces; when it ends, what was
    work in it counts as running, and what was waiting as starved.
    """
    account = line.accounts.of[station]
    if account.state != SLOWED:
        wait(line, station, start_ns, SLOWED, root)
    account.paced_ns += waited_ns


def wait_between(line: Line, station: int, start_ns: int, end_ns: int, root: int) -> None:
    """A running station is starved from ``start_ns`` to ``end_ns`` and runs on."""
    wait(line, station, start_ns, STARVED, root)
    run(line, station, end_ns)


def close_accounts(line: Line) -> None:
    """End every open span now: the end of the run, or of the warm-up."""
    for account in line.accounts.of:
        _close(line, account, line.now_ns)
        account.since_ns = line.now_ns
        _has_stood(line, account)


def forget_accounts(line: Line) -> None:
    """Drop all sums (the warm-up is over); the states go on."""
    keys, sums = line.accounts.keys, line.accounts.sums
    for place in range(len(keys)):
        keys[place] = 0
        sums[place] = 0
    for account in line.accounts.of:
        account.ran_ns = account.last_key = 0
        for loss in range(LOSSES):
            account.losses_ns[loss] = 0
    shorten(line.history.spans.rows, 0)


def losses_by_now(line: Line, account: Account) -> Row[int]:
    """The losses as they would be, were the open span to end now; until the next call."""
    trial = line.accounts.trial
    trial.state, trial.cause, trial.root = account.state, account.cause, account.root
    trial.stood_ns, trial.stopped_ns = account.stood_ns, account.stopped_ns
    for loss in range(LOSSES):
        trial.losses_ns[loss] = account.losses_ns[loss]
    if line.now_ns > account.since_ns:
        _lose(line, trial, line.now_ns - account.since_ns, account.paced_ns)
    _has_stood(line, trial)
    return trial.losses_ns


def _close(line: Line, account: Account, at_ns: int) -> None:
    length = at_ns - account.since_ns
    if length == 0:
        return
    if length < 0:
        line.fault = BACKWARDS
        return
    station, state, cause, root = account.station, account.state, account.cause, account.root
    waited = 0
    if state == SLOWED and root != NO_ROOT:
        # A span at a neighbour's pace: its work, and its waits.
        waited = account.paced_ns
        account.paced_ns = 0
        if length > waited:
            _sum(line, station, RUNNING, NO_CAUSE, NO_ROOT, length - waited)
        if waited > 0:
            _sum(line, station, STARVED, cause, root, waited)
    else:
        _sum(line, station, state, cause, root, length)
    _lose(line, account, length, waited)
    if line.keeps:
        note(line, line.history.spans, station, state, cause, root, account.since_ns, at_ns)


def _lose(line: Line, account: Account, length: int, waited: int) -> None:
    """Book time by loss. A stop is minor or a breakdown by the whole standstill's length."""
    losses, state = account.losses_ns, account.state
    if state <= SLOWED:
        if state == SLOWED and account.root != NO_ROOT:
            losses[_PRODUCING] -= waited
            losses[_MINOR] += waited
        losses[_PRODUCING] += length
        return
    if state == PLANNED:
        losses[_PLANNED_LOSS] += length
        return
    account.stood_ns += length
    kind = line.accounts.kinds[account.cause]
    if kind == STOP:
        account.stopped_ns += length
    elif kind == SET_UP:
        losses[_SET_UP_LOSS] += length
    elif kind == CALENDAR and state <= BLOCKED:
        losses[_PLANNED_LOSS] += length
    else:
        losses[_MINOR] += length


def _has_stood(line: Line, account: Account) -> None:
    loss = _BREAKDOWN if account.stood_ns >= line.accounts.minor_ns else _MINOR
    account.losses_ns[loss] += account.stopped_ns
    account.stood_ns = account.stopped_ns = 0


# -- afterwards ------------------------------------------------------------------------------------


def sums_of(accounts: Accounts) -> tuple[dict[SpanKey, int], dict[tuple[int, int], int]]:
    """ns by (station, state, cause, root station, root cause), and stops by station and cause."""
    sums: dict[SpanKey, int] = {}
    counts: dict[tuple[int, int], int] = {}
    for account in accounts.of:
        if account.ran_ns:
            sums[account.station, RUNNING, NO_CAUSE, -1, -1] = account.ran_ns
    assert len(accounts.keys) == len(accounts.sums)
    there = accounts.keys
    for key, value in zip(compress(there, there), compress(accounts.sums, there), strict=True):
        rest, root = divmod(key - 1, _STATIONS << ROOT_BITS)
        rest, cause = divmod(rest, 1 << ROOT_BITS)
        station, state = divmod(rest, _STATES)
        if state == _COUNT:
            counts[station, cause] = value
        else:
            sums[station, state, cause, station_of(root), cause_of(root)] = value
    return dict(sorted(sums.items())), counts


def names_of(accounts: Accounts) -> list[str]:
    """Names of all causes that have a number, by number."""
    names = accounts.names + [""] * (len(accounts.kinds) - len(accounts.names))
    for late, number in zip(accounts.late_names, accounts.late, strict=True):
        if number >= 0:
            names[number] = late
    return names
