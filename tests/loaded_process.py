"""Loads what a process needs for its first run and its first answer, for others to be copies."""

import linesim
from gui.work.tasks import TASKS

_line = linesim.scenario.load(linesim.scenario.find_scenario("short-bridge"))
linesim.report.story(linesim.studies.replicate(_line, hours=0.1, replications=2, processes=1))
assert TASKS
