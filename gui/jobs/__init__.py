"""Work in other processes, so that the window never waits."""

from gui.jobs.job import Job
from gui.jobs.jobs import Jobs
from gui.jobs.worker import Worker

__all__ = ["Job", "Jobs", "Worker"]
