"""A report that a manager signs: one page for the screen, and the same for print."""

from linesim.report.page.page import PageRefusedError, ReportPage, report_page
from linesim.report.page.typical import NotTheSameRunError

__all__ = ["NotTheSameRunError", "PageRefusedError", "ReportPage", "report_page"]
