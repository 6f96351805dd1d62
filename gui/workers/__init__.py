"""Work in other processes, so that the window never waits."""

from gui.workers.pool import WorkerPool
from gui.workers.task import Task
from gui.workers.worker import Worker

__all__ = ["Task", "Worker", "WorkerPool"]
