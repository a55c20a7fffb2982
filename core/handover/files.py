"""Which bytes does a file of an ending hold? One door for the command line and the window."""

import json
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from core.handover.bench_csv import bench_csv
from core.handover.bench_sheet import bench_sheet
from core.handover.checks_csv import checks_csv
from core.handover.findings import Findings
from core.handover.fonts import Fonts
from core.handover.limits import Limits
from core.handover.limits_files import limits_csv, limits_json
from core.handover.limits_header import limits_header
from core.handover.page import Report
from core.handover.report import clearance_report
from core.model.project import Project

REPORT_ENDINGS: Final = (".html", ".pdf", ".csv")
LIMITS_ENDINGS: Final = (".csv", ".json", ".h")

_HOLDS: Final[Mapping[str, str]] = MappingProxyType(
    {
        ".html": "one page with all figures in it, for any browser",
        ".pdf": "A4 pages to print and to send",
        ".csv": "a table for spreadsheets",
        ".json": "for programs",
        ".h": "a C header for the controller",
    }
)


def holds(ending: str) -> str:
    """What a file of this ending is good for, in a few words."""
    return _HOLDS[ending]


def report_file(found: Findings, ending: str, *, fonts: Fonts) -> bytes:
    """The clearance report as one of `REPORT_ENDINGS`; KeyError for any other."""
    return checks_csv(found.result).encode() if ending == ".csv" else pages_file(clearance_report(found, fonts=fonts), ending, fonts=fonts)


def pages_file(report: Report, ending: str, *, fonts: Fonts) -> bytes:
    """A report that is laid out already, as .html or .pdf; KeyError for any other."""
    # Each takes a fifth of a second to import, and a file needs one of them.
    if ending == ".html":
        from core.handover.report_html import report_html  # noqa: PLC0415

        return report_html(report, fonts=fonts).encode()
    if ending == ".pdf":
        from core.handover.report_pdf import report_pdf  # noqa: PLC0415

        return report_pdf(report, fonts=fonts)
    raise KeyError(ending)


def limits_file(limits: Limits, ending: str) -> bytes:
    """The limits as one of `LIMITS_ENDINGS`; KeyError for any other."""
    return {
        ".csv": lambda: limits_csv(limits),
        ".json": lambda: json.dumps(limits_json(limits), indent=1, ensure_ascii=False, allow_nan=False) + "\n",
        ".h": lambda: limits_header(limits),
    }[ending]().encode()


def bench_file(project: Project) -> bytes:
    """The bench sheet as a table for spreadsheets."""
    return bench_csv(bench_sheet(project)).encode()
