"""Records written by hand, so that what follows from them can be worked out on paper."""

from __future__ import annotations

from linesim.record import Books, Kind, Loss, PaperBook, ReamBook, Record, SheetBook, State
from linesim.scenario import WEB_STATIONS, Scenario, check_mapping

MINUTE = 60_000_000_000


def scenario(**tables: object) -> Scenario:
    """Five lanes, five webs of A4 at 297 m/min: 1000 cuts, 50 reams a minute."""
    base: dict[str, object] = {
        "slitter": {"lanes": 5},
        "unwind": {"webs": 5},
        "cutter": {"web_speed_m_per_min": 297, "max_cuts_per_min": 2000},
        "wrapper": [{"name": "wrapper", "rate_reams_per_min": 60}],
    }
    return check_mapping(base | tables)


def losses(minutes: dict[Loss, float]) -> tuple[int, ...]:
    """A row of ns by loss."""
    return tuple(round(minutes.get(loss, 0) * MINUTE) for loss in Loss)


def record(
    line: Scenario,
    *,
    sheeter: dict[Loss, float],
    others: dict[Loss, float],
    books: Books,
    wrapped_by: tuple[int, ...] = (0,),
    sums: dict[tuple[int, int, int, int, int], int] | None = None,
    causes: tuple[str, ...] = ("",),
) -> Record:
    """A record in which the parts of the sheeter share an account, and all others do."""
    names = (
        *WEB_STATIONS,
        "transfer",
        "bridge",
        *(w.name for w in line.wrapper),
        *(["outfeed"] if line.outfeed else []),
    )
    length = sum(losses(sheeter))
    if sums is None:
        sums = {(n, State.RUNNING, 0, -1, -1): length for n in range(len(names))}
    return Record(
        scenario=line,
        seed=1,
        replication=0,
        start_ns=0,
        end_ns=length,
        stations=names,
        causes=causes,
        cause_kinds=tuple(Kind.STOP for _ in causes),
        sums=sums,
        losses=tuple(losses(sheeter if n in WEB_STATIONS else others) for n in names),
        stops=(),
        books=books,
        wrapped_by=wrapped_by,
        good_per_bucket=(),
        orders=(),
        history=None,
    )


def books_of(
    *,
    good: int,
    cuts_to_pockets: int,
    rejected: dict[str, int] | None = None,
    repulped: int = 0,
    reworked: int = 0,
    set_aside: int = 0,
    sheets_cleared: int = 0,
) -> Books:
    """Books of the line above; ``rejected`` in cuts. What is missing is still on the line."""
    made = (cuts_to_pockets * 25 - sheets_cleared) // 500
    cut_um = 297_000 * 5
    cuts = cuts_to_pockets + sum((rejected or {}).values())
    return Books(
        paper=PaperBook(
            loaded=cuts * cut_um,
            to_pockets=cuts_to_pockets * cut_um,
            rejected={reason: count * cut_um for reason, count in (rejected or {}).items()},
        ),
        sheets=SheetBook(
            to_pockets=cuts_to_pockets * 25,
            in_reams=made * 500,
            spoiled=sheets_cleared,
            at_end=cuts_to_pockets * 25 - sheets_cleared - made * 500,
        ),
        reams=ReamBook(
            made=made,
            wrapped=good - reworked,
            reworked=reworked,
            repulped=repulped,
            set_aside=set_aside,
            at_end=made - good - repulped - set_aside,
        ),
        cuts=cuts,
        web_um=cuts * 297_000,
    )
