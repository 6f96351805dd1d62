"""A compiled engine for summary runs, beside the SimPy line that says what is right.

Being built: nothing uses it until it has been shown to make the same records, run by run.
"""
