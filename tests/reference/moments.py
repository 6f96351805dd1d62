"""Who acts in one moment after whom: SimPy serves events of one time by priority, then in turn."""

from __future__ import annotations

import simpy

CONTROLS, WEBS, MENDERS, CREW = 3, 4, 5, 6
"""After what SimPy calls normal: the controls that heed the level, the webs, those who ask for
people when what is spoiled has been seen to, and who gives out jobs."""


def when_others_are_done(env: simpy.Environment, priority: int) -> simpy.Event:
    """An event that comes when all else of this moment has happened that goes before it."""
    event = env.event()
    event._ok, event._value = True, None
    env.schedule(event, priority=priority)
    return event
