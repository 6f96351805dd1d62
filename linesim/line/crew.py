"""The crew: a given number of people, and the jobs they do.

Jobs of one moment are given out together, when everybody has asked: first those for which
something stands, then by priority, then by time of asking. A job that needs more people than are
free waits, and nobody behind it overtakes: otherwise a job for two would wait for ever behind jobs
for one. Work for which nothing stands is laid down for one for which something does, where the
crew does so. While the crew is away no job is begun; those under way are finished, but for the end
of a shift that hands them over.
"""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line import told
from linesim.line.clock import NEVER, PEOPLE, RANK_JOB, RANK_PEOPLE, Alarm, set_alarm
from linesim.line.line import Line
from linesim.line.typed import Ref, Row, add, shorten
from linesim.scenario.running_tables import Crew as CrewTable


@dataclass(slots=True)
class Job:
    """Work for some people: asked for, begun, perhaps laid down and taken up again, done."""

    alarm: Alarm
    """Rings when it is done; says whose job it is."""
    people: int = 0
    priority: int = 0
    stands: bool = False
    """Something stands for it."""
    left_ns: int = 0
    """Work still to do when it was last taken up; NEVER: somebody says when it is over."""
    asked: int = 0
    """Jobs asked for before it."""


@dataclass(slots=True)
class Crew:
    """People, and what they are to do."""

    free: int
    lays_down: bool
    hands_over: bool
    """What is under way at the end of a shift is laid down, not finished."""
    waiting: Row[Ref[Job]]
    in_hand: Row[Ref[Job]]
    alarm: Alarm
    priority_standing_line: int
    priority_standing_wrapper: int
    priority_prepare: int
    priority_rework: int
    away: bool = False
    asked: int = 0


def new_job(rings_for: int, whose: int) -> Job:
    """A job not yet asked for, and what its alarm rings for when it is done."""
    return Job(Alarm(RANK_JOB, rings_for, whose))


def new_crew(table: CrewTable, most_jobs: int) -> Crew:
    return Crew(
        free=table.size,
        lays_down=table.lay_work_down,
        hands_over=table.work_at_shift_end == "handed_over",
        waiting=Row("jobs at once", most_jobs),
        in_hand=Row("jobs at once", most_jobs),
        alarm=Alarm(RANK_PEOPLE, PEOPLE),
        priority_standing_line=table.priority_standing_line,
        priority_standing_wrapper=table.priority_standing_wrapper,
        priority_prepare=table.priority_prepare,
        priority_rework=table.priority_rework,
    )


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
    line.crew.free -= people


def take_back(line: Line, people: int) -> None:
    line.crew.free += people
    _look(line)


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
    while len(crew.waiting) > 0 and not crew.away:
        first = 0
        for i in range(1, len(crew.waiting)):
            if _goes_before(crew.waiting[i], crew.waiting[first]):
                first = i
        job = crew.waiting[first]
        if job.people > crew.free and job.stands and crew.lays_down:
            _make_free(line, job.people)
        if job.people > crew.free:
            return
        last = len(crew.waiting) - 1
        crew.waiting[first] = crew.waiting[last]
        shorten(crew.waiting, last)
        _begin(line, job)


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
    crew.free -= job.people
    if job.people > 0:
        add(line, crew.in_hand, job)
    told.job_begun(line, job)
    if job.left_ns < NEVER:
        set_alarm(line, job.alarm, line.now_ns + job.left_ns)


def _lay_down(line: Line, job: Job) -> None:
    job.left_ns = job.alarm.at_ns - line.now_ns
    set_alarm(line, job.alarm, NEVER)
    _not_in_hand(line, job)
    add(line, line.crew.waiting, job)
    told.job_waits(line, job)


def _not_in_hand(line: Line, job: Job) -> None:
    crew = line.crew
    crew.free += job.people
    for i in range(len(crew.in_hand)):
        if crew.in_hand[i] is job:
            del crew.in_hand[i]
            return


def _make_free(line: Line, people: int) -> None:
    """Lay down work for which nothing stands, the least urgent first, where that is enough."""
    crew = line.crew
    can_wait = 0
    for job in crew.in_hand:
        if not job.stands:
            can_wait += job.people
    if crew.free + can_wait < people:
        return
    while crew.free < people and line.given_up == 0:
        last = -1
        for i in range(len(crew.in_hand)):
            job = crew.in_hand[i]
            if not job.stands and (last < 0 or _goes_before(crew.in_hand[last], job)):
                last = i
        _lay_down(line, crew.in_hand[last])
