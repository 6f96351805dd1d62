"""Every chart of the window: zoomed, moved, read point by point, taken away.

pyqtgraph is loaded with the first plot and not before: ``axes``, ``plot`` and what draws onto one.
"""

from gui.charts.chart_view import ChartMark, ChartView
from gui.charts.chart_widget import ChartWidget

__all__ = ["ChartMark", "ChartView", "ChartWidget"]
