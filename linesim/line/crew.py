"""The crew: a given number of people, and the jobs they do.

Jobs of one moment are given out together, when everybody has asked: first those for which
something stands, then by priority, then by time of asking.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from linesim.line.clock import NEVER, Alarm, Clock, Rank
from linesim.scenario.tables import Crew as CrewTable


class Job:
    """Work for some people: asked for, begun, perhaps laid down and taken up again, done.

    ``stands``: something stands for it. ``begun`` is called when people are there, ``waits`` when
    they have gone before it was done, ``done`` when it is.
    """

    def __init__(
        self,
        people: int,
        priority: int,
        length_ns: int,
        *,
        stands: bool,
        done: Callable[[], None],
        begun: Callable[[], None] = lambda: None,
        waits: Callable[[], None] = lambda: None,
    ) -> None:
        self.people = people
        self.priority = priority
        self.stands = stands
        self.left = length_ns
        """Work still to do when it was last taken up, ns; NEVER: somebody says when it is over."""
        self.asked = 0
        self.begun, self.waits, self.done = begun, waits, done

    @property
    def rank(self) -> tuple[bool, int, int]:
        """The first is the lowest."""
        return (not self.stands, self.priority, self.asked)


class Crew:
    """People at the line.

    A job that needs more people than are free waits, and nobody behind it overtakes: otherwise a
    job for two would wait for ever behind jobs for one. Work for which nothing stands is laid down
    for one for which something does, where the crew does so. While the crew is away no job is
    begun; those under way are finished, but for the end of a shift that hands them over.
    """

    def __init__(self, env: Clock, table: CrewTable) -> None:
        self._env = env
        self.free = table.size
        self.lays_down = table.lay_work_down
        self.hands_over = table.work_at_shift_end == "handed_over"
        self.away = False
        self._waiting: list[Job] = []
        self._in_hand: dict[Job, Alarm] = {}
        """Jobs under way, in the order in which they were begun, and the alarm at their end."""
        self._asked = 0
        self._alarm = Alarm(env, Rank.PEOPLE, self._send)

    def ask(self, job: Job) -> None:
        """Have a job done, as soon as people can come; at once where it needs nobody."""
        job.asked = self._asked
        self._asked += 1
        if job.people == 0:
            self._begin(job)
        else:
            self._waiting.append(job)
            self._look()

    def hurry(self, job: Job, priority: int) -> None:
        """Something stands for this job from now on."""
        job.stands, job.priority = True, priority
        self._look()

    def lend(self, people: int) -> None:
        """Planned work takes people: those who are free at once, others as they finish."""
        self.free -= people

    def take_back(self, people: int) -> None:
        """The planned work is done."""
        self.free += people
        self._look()

    def leave(self, *, shift_over: bool) -> None:
        """No new job is begun: a break begins, or a shift is over and none follows at once."""
        self.away = True
        if shift_over and self.hands_over:
            for job, alarm in list(self._in_hand.items()):
                if job.people and alarm.at > self._env.moment:
                    self._lay_down(job)

    def come_back(self) -> None:
        """The break is over, or a shift begins."""
        self.away = False
        self._look()

    def _look(self) -> None:
        self._alarm.set(self._env.moment)

    def _send(self) -> None:
        while self._waiting and not self.away:
            job = min(self._waiting, key=lambda each: each.rank)
            if job.people > self.free and job.stands and self.lays_down:
                self._make_free(job.people)
            if job.people > self.free:
                return
            self._waiting.remove(job)
            self._begin(job)

    def _begin(self, job: Job) -> None:
        self.free -= job.people
        alarm = self._in_hand[job] = Alarm(self._env, Rank.JOB, partial(self._finish, job))
        job.begun()
        if job.left < NEVER:
            alarm.set(self._env.moment + job.left)

    def _finish(self, job: Job) -> None:
        del self._in_hand[job]
        self.free += job.people
        job.done()
        if job.people:
            self._look()

    def _make_free(self, people: int) -> None:
        """Lay down what can wait, the last in rank first, if that makes so many free."""
        can_wait = sorted(
            (job for job in self._in_hand if job.people and not job.stands),
            key=lambda each: each.rank,
        )
        if self.free + sum(job.people for job in can_wait) < people:
            return
        while self.free < people:
            self._lay_down(can_wait.pop())

    def _lay_down(self, job: Job) -> None:
        alarm = self._in_hand.pop(job)
        job.left = alarm.at - self._env.moment
        alarm.set(NEVER)
        self.free += job.people
        self._waiting.append(job)
        job.waits()
