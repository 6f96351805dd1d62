"""What the program is made of here, whether it works as it should, and where it keeps things."""

from linesim.about.facts import Facts, facts, fault_report
from linesim.about.self_check import SelfCheck

__all__ = ["Facts", "SelfCheck", "facts", "fault_report"]
