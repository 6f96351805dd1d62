"""For scripts: makes ``tests`` mean the tests of this clone.

Somebody else's package may be called "tests", too, and be found first. pytest sees to it itself.
"""

import sys
from pathlib import Path
from types import ModuleType

_TOP = Path(__file__).resolve().parents[2]

sys.path.insert(0, str(_TOP))
_tests = ModuleType("tests")
_tests.__path__ = [str(_TOP / "tests")]
sys.modules["tests"] = _tests
