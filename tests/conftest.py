"""Settings that every test shares."""

import os

from hypothesis import settings

# No test needs a screen; a developer who wants to watch names another platform.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

# The SimPy line says what is right; the compiled engine is held against it in tests of its own.
os.environ.setdefault("LINESIM_ENGINE", "simpy")

# A failure must come back on the next run, and a busy machine must not make one.
settings.register_profile("steady", deadline=None, derandomize=True)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))
