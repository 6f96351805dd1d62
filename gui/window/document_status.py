"""What the window says of its document below everything else."""

from __future__ import annotations

import linesim
from gui.document import Autosave, Document, OpenFileLock


def document_status(
    document: Document, autosave: Autosave | None, file_lock: OpenFileLock | None
) -> str:
    """All there is to know about the file and its scenario, the most pressing first."""
    words = []
    if document.changed_on_disk():
        words.append(
            "The file was changed by another program: open it again to see how; saving will ask"
            " first."
        )
    if file_lock is not None:
        file_lock.refresh()
        if file_lock.open_elsewhere:
            words.append("Another window has this file open, too.")
    if autosave is not None and autosave.failed:
        words.append(autosave.failed)
    faults = len(document.faults)
    if faults:
        shown = "the run on screen is of the last scenario without faults"
        if document.scenario is None:
            shown = f"no run is shown until {'it is' if faults == 1 else 'they are'} corrected"
        words.append(f"{linesim.statistics.counted(faults, 'fault')} in the scenario; {shown}.")
    scenario = document.scenario
    if scenario is not None and scenario.line.invented:
        words.append(linesim.report.INVENTED)
    return " ".join(words)
