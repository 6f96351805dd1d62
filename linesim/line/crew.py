"""The crew: people, and the jobs they do.

Jobs of one moment are given out together, when everybody has asked: first those for which
something stands, then by priority, then by time of asking. Of those who can do a job, they go first
who can do the fewest kinds of work. A job that needs more people than are free waits, and nobody
who could do it goes to one behind it: otherwise a job for two would wait for ever behind jobs for
one. One for which there are too few on this shift keeps nobody. Work for which nothing stands is
laid down for one for which something does, where the crew does so. While the crew is away no job is
begun; those under way are finished, but for the end of a shift that hands them over.

People walk to a job from where their last one was, of equals the nearest; work begins when the last
of them is there. Places along the line are reckoned in the time people take to walk there from its
beginning.
"""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line import told
from linesim.line.clock import (
    NEVER,
    PEOPLE,
    PEOPLE_ARRIVE,
    RANK_CALENDAR,
    RANK_JOB,
    RANK_PEOPLE,
    SHIFT_CHANGES,
    Alarm,
    set_alarm,
)
from linesim.line.line import Line, Site
from linesim.line.typed import Ref, Row, add, shorten
from linesim.scenario import Scenario
from linesim.scenario.people import ANYONE, way_to, who_can

FREE, AT_PLANNED_WORK = -1, -2
"""In place of the job that somebody does."""


@dataclass(slots=True)
class Job:
    """Work for some people: asked for, begun, perhaps laid down and taken up again, done."""

    alarm: Alarm
    """Rings when it is done; says whose job it is."""
    who: int = ANYONE
    """Who can do it, bit by bit."""
    place_ns: int = 0
    """Where it is done."""
    people: int = 0
    priority: int = 0
    stands: bool = False
    """Something stands for it."""
    left_ns: int = 0
    """Work still to do when it was last taken up; NEVER: somebody says when it is over."""
    asked: int = 0
    """Jobs asked for before it."""
    cannot: bool = False
    """There are not enough people for it now."""
    sent_ns: int = 0
    """When people were last sent to it."""
    begins_ns: int = 0
    """When all of them are there."""
    awaits: bool = False
    """People are on their way to it."""


@dataclass(slots=True)
class Person:
    """One of the crew."""

    group: int
    """The bit of those who come and can do the same."""
    kinds: int
    """How many kinds of work they can do."""
    there: bool
    """On this shift. Who is not may still finish a job."""
    job: int = FREE
    """What is done now: how many jobs were asked for before it."""
    kept: bool = False
    """A job that comes first waits for people like this one."""
    place_ns: int = 0
    """Where they were when they were last free."""


@dataclass(slots=True)
class Relief:
    """Other people come."""

    at_ns: int
    there: int
    """All who are there from then on, bit by bit."""


@dataclass(slots=True)
class Crew:
    """People, and what they are to do."""

    people: Row[Person]
    """Who can do the fewest kinds of work stands first."""
    reliefs: Row[Relief]
    lays_down: bool
    hands_over: bool
    """What is under way at the end of a shift is laid down, not finished."""
    waiting: Row[Ref[Job]]
    in_hand: Row[Ref[Job]]
    alarm: Alarm
    shift_alarm: Alarm
    arrival: Alarm
    places_ns: Row[int]
    """Where people work at each station."""
    priority_standing_line: int
    priority_standing_wrapper: int
    priority_prepare: int
    priority_rework: int
    who_rethreads: int
    who_changes_pallets: int
    who_changes_over: int
    away: bool = False
    asked: int = 0
    owed: int = 0
    """People that planned work still waits for."""
    next_relief: int = 0


def new_job(rings_for: int, whose: int, who: int = ANYONE, place_ns: int = 0) -> Job:
    """A job not yet asked for, and what its alarm rings for when it is done."""
    return Job(Alarm(RANK_JOB, rings_for, whose), who, place_ns)


def new_crew(site: Site, most_jobs: int, reliefs: list[tuple[int, int]]) -> Crew:
    """``reliefs``: when other people come, and who is there then."""
    scenario = site.scenario
    table = scenario.crew
    places = [way_to(scenario, station) for station in site.stations]
    return Crew(
        people=_people(scenario, reliefs[0][1] if reliefs and reliefs[0][0] == 0 else 1),
        reliefs=Row("shifts", len(reliefs), [Relief(*each) for each in reliefs]),
        lays_down=table.lay_work_down,
        hands_over=table.work_at_shift_end == "handed_over",
        waiting=Row("jobs at once", most_jobs),
        in_hand=Row("jobs at once", most_jobs),
        alarm=Alarm(RANK_PEOPLE, PEOPLE),
        shift_alarm=Alarm(RANK_CALENDAR, SHIFT_CHANGES),
        arrival=Alarm(RANK_PEOPLE, PEOPLE_ARRIVE),
        places_ns=Row("stations", len(places), places),
        priority_standing_line=table.priority_standing_line,
        priority_standing_wrapper=table.priority_standing_wrapper,
        priority_prepare=table.priority_prepare,
        priority_rework=table.priority_rework,
        who_rethreads=who_can(scenario, "rethread", "web_path"),
        who_changes_pallets=who_can(scenario, "pallets", "palletiser"),
        who_changes_over=who_can(scenario, "change-over"),
    )


def _people(scenario: Scenario, there: int) -> Row[Person]:
    """All there are on any shift, and who of them are there, bit by bit."""
    everything = 1 << 30
    groups = [(everything, 0, scenario.crew.size)]
    for bit, group in enumerate(scenario.crew_group, 1):
        groups.append((len(group.skills) or everything, bit, group.number))
    found = [
        Person(1 << bit, kinds, bool(there >> bit & 1))
        for kinds, bit, number in sorted(groups)
        for _ in range(number)
    ]
    return Row("people", len(found), found)


def ask(line: Line, job: Job, people: int, priority: int, length_ns: int, stands: bool) -> None:
    """A job is to be done. One that needs nobody begins at once."""
    crew = line.crew
    job.people = people
    job.priority = priority
    job.left_ns = length_ns
    job.stands = stands
    job.asked = crew.asked
    crew.asked += 1
    if people == 0:
        _begin(line, job)
        return
    add(line, crew.waiting, job)
    _look(line)


def hurry(line: Line, job: Job, priority: int) -> None:
    """Something stands for this job now."""
    job.stands = True
    job.priority = priority
    _look(line)


def job_over(line: Line, job: Job) -> None:
    """It is done: its people are free."""
    if job.people > 0:
        _not_in_hand(line, job)
        _look(line)


def lend(line: Line, people: int) -> None:
    """People go to planned work; they come from other jobs as those are done."""
    line.crew.owed += people
    _go_to_planned_work(line.crew)


def take_back(line: Line, people: int) -> None:
    crew = line.crew
    late = min(crew.owed, people)
    crew.owed -= late
    back = people - late
    for person in crew.people:
        if back > 0 and person.job == AT_PLANNED_WORK:
            person.job = FREE
            back -= 1
    _look(line)


def _go_to_planned_work(crew: Crew) -> None:
    for person in crew.people:
        if crew.owed > 0 and person.there and person.job == FREE:
            person.job = AT_PLANNED_WORK
            crew.owed -= 1


def await_relief(line: Line) -> None:
    """Set the alarm to the next moment at which other people come, if there is one."""
    crew = line.crew
    if crew.next_relief < len(crew.reliefs):
        set_alarm(line, crew.shift_alarm, crew.reliefs[crew.next_relief].at_ns)


def shift_changes(line: Line) -> None:
    """Some go, others come. Who goes hands work over, or finishes it first."""
    crew = line.crew
    there = crew.reliefs[crew.next_relief].there
    for person in crew.people:
        person.there = (person.group & there) != 0
        if person.job == AT_PLANNED_WORK and not person.there:
            person.job = FREE
            crew.owed += 1
    i = 0
    while crew.hands_over and i < len(crew.in_hand):
        job = crew.in_hand[i]
        if job.alarm.at_ns > line.now_ns and _has_gone(crew, job):
            _lay_down(line, job)
        else:
            i += 1
    crew.next_relief += 1
    await_relief(line)
    _look(line)


def _has_gone(crew: Crew, job: Job) -> bool:
    """Somebody at this job is not there any more."""
    gone = False
    for person in crew.people:
        gone = gone or (person.job == job.asked and not person.there)
    return gone


def leave(line: Line, shift_over: bool) -> None:
    """The crew goes to a break, or home."""
    crew = line.crew
    crew.away = True
    if not shift_over or not crew.hands_over:
        return
    i = 0
    while i < len(crew.in_hand):
        job = crew.in_hand[i]
        if job.alarm.at_ns > line.now_ns:
            _lay_down(line, job)
        else:
            i += 1


def come_back(line: Line) -> None:
    line.crew.away = False
    _look(line)


def send_people(line: Line) -> None:
    """All jobs of this moment have been asked for: give them out."""
    crew = line.crew
    _go_to_planned_work(crew)
    for person in crew.people:
        person.kept = False
    for job in crew.waiting:
        job.cannot = False
    while not crew.away:
        first = -1
        for i in range(len(crew.waiting)):
            if crew.waiting[i].cannot:
                continue
            if first < 0 or _goes_before(crew.waiting[i], crew.waiting[first]):
                first = i
        if first < 0:
            return
        job = crew.waiting[first]
        if job.people > _free_for(crew, job) and job.stands and crew.lays_down:
            _make_free(line, job)
        if job.people > _free_for(crew, job):
            _cannot_begin(crew, job)
            continue
        last = len(crew.waiting) - 1
        crew.waiting[first] = crew.waiting[last]
        shorten(crew.waiting, last)
        _begin(line, job)


def _is_for(person: Person, job: Job) -> bool:
    """Somebody on this shift who can do the job."""
    return person.there and (person.group & job.who) != 0


def _free_for(crew: Crew, job: Job) -> int:
    """How many can go to it now."""
    free = 0
    for person in crew.people:
        free += person.job == FREE and not person.kept and _is_for(person, job)
    return free


def _cannot_begin(crew: Crew, job: Job) -> None:
    """Who can do it is kept for it, unless they are too few on this shift."""
    job.cannot = True
    can = 0
    for person in crew.people:
        can += _is_for(person, job)
    if can < job.people:
        return
    for person in crew.people:
        person.kept = person.kept or _is_for(person, job)


def _look(line: Line) -> None:
    set_alarm(line, line.crew.alarm, line.now_ns)


def _goes_before(job: Job, other: Job) -> bool:
    if job.stands != other.stands:
        return job.stands > other.stands
    if job.priority != other.priority:
        return job.priority < other.priority
    return job.asked < other.asked


def _begin(line: Line, job: Job) -> None:
    crew = line.crew
    job.sent_ns = line.now_ns
    job.begins_ns = line.now_ns
    if job.people > 0:
        _send(crew, job)
        add(line, crew.in_hand, job)
    job.awaits = job.begins_ns > line.now_ns
    if job.awaits:
        set_alarm(line, crew.arrival, min(crew.arrival.at_ns, job.begins_ns))
    else:
        told.job_begun(line, job)
    if job.left_ns < NEVER:
        set_alarm(line, job.alarm, job.begins_ns + job.left_ns)


def people_arrive(line: Line) -> None:
    """All who were sent to a job may be there."""
    crew = line.crew
    soonest = NEVER
    for job in crew.in_hand:
        if job.awaits and job.begins_ns <= line.now_ns:
            job.awaits = False
            told.job_begun(line, job)
        elif job.awaits:
            soonest = min(soonest, job.begins_ns)
    set_alarm(line, crew.arrival, soonest)


def _send(crew: Crew, job: Job) -> None:
    """Who can do the fewest kinds of work goes first, of those the nearest."""
    for _ in range(job.people):
        first = -1
        for i in range(len(crew.people)):
            person = crew.people[i]
            if person.job != FREE or person.kept or not _is_for(person, job):
                continue
            if first < 0 or (
                person.kinds == crew.people[first].kinds
                and _way_ns(person, job) < _way_ns(crew.people[first], job)
            ):
                first = i
        crew.people[first].job = job.asked
        job.begins_ns = max(job.begins_ns, job.sent_ns + _way_ns(crew.people[first], job))


def _way_ns(person: Person, job: Job) -> int:
    return abs(job.place_ns - person.place_ns)


def _lay_down(line: Line, job: Job) -> None:
    job.left_ns = job.alarm.at_ns - max(line.now_ns, job.begins_ns)
    set_alarm(line, job.alarm, NEVER)
    _not_in_hand(line, job)
    job.cannot = False
    add(line, line.crew.waiting, job)
    told.job_waits(line, job)


def _not_in_hand(line: Line, job: Job) -> None:
    crew = line.crew
    job.awaits = False
    for person in crew.people:
        if person.job == job.asked:
            person.job = FREE
            walked = min(line.now_ns - job.sent_ns, _way_ns(person, job))
            person.place_ns += walked if job.place_ns > person.place_ns else -walked
    for i in range(len(crew.in_hand)):
        if crew.in_hand[i] is job:
            del crew.in_hand[i]
            return


def _make_free(line: Line, job: Job) -> None:
    """Lay down work for which nothing stands, the least urgent first, where that is enough.

    Planned work that still waits for people has them before the job.
    """
    crew = line.crew
    can_come = _free_for(crew, job) - crew.owed
    for other in crew.in_hand:
        if not other.stands:
            can_come += _would_come(crew, other, job)
    if can_come < job.people:
        return
    while _free_for(crew, job) < job.people and line.given_up == 0:
        last = -1
        for i in range(len(crew.in_hand)):
            other = crew.in_hand[i]
            if other.stands or _would_come(crew, other, job) == 0:
                continue
            if last < 0 or _goes_before(crew.in_hand[last], other):
                last = i
        _lay_down(line, crew.in_hand[last])
        _go_to_planned_work(crew)


def _would_come(crew: Crew, other: Job, job: Job) -> int:
    """How many could do a job if they laid down the other."""
    found = 0
    for person in crew.people:
        found += person.job == other.asked and not person.kept and _is_for(person, job)
    return found
