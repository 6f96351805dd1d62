"""Compiled: the rework table, as in ``line.rework``."""

from __future__ import annotations

from linesim.fast.layout import JOB_ALARM
from linesim.fast.parts import part
from linesim.fast.rules.assembly import count_good
from linesim.fast.rules.chance import draw
from linesim.fast.rules.crew import ask_crew


@part
def spoiled_ream(s):
    """Follows ``Rework.bring``."""
    if s.r_lying >= s.r_places:
        s.repulped += 1
        return
    s.r_lying += 1
    s.r_free_n -= 1
    job = s.r_free[s.r_free_n]
    length = draw(s, s.r_times)
    s.r_good[job] = draw(s, s.r_saved)
    ask_crew(s, JOB_ALARM + job, s.r_people, s.p_rework, length, 0)


@part
def job_done(s, job):
    """Follows ``Rework.bring``: the ream is wrapped again, or is not."""
    s.r_lying -= 1
    s.r_free[s.r_free_n] = job
    s.r_free_n += 1
    if s.r_good[job]:
        s.reworked += 1
        count_good(s, s.moment)
    else:
        s.repulped += 1
