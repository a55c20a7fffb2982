"""A report of a large bay against its bare check: `pytest tests/bench/test_reports.py --benchmark-enable`, ratios in `extra_info`.

Nothing here fails for being slow; both are measured in the same run, so that the ratio does not depend on the machine.
"""

import time
from pathlib import Path

import pytest

import app
from core.handover.files import report_file
from core.handover.findings import findings_of, swept
from core.handover.fonts import fonts_in
from core.handover.limits import Origin
from core.sweep.run import check_project
from tests.bench.ring_bay import ring_bay

FONTS = fonts_in(Path(app.__file__).parent / "fonts")
ROUNDS = 3


@pytest.mark.parametrize(
    ("stations", "clear", "ending"),
    [(4, False, ".html"), (16, False, ".html"), (16, False, ".pdf"), (16, True, ".html"), (16, True, ".pdf")],
)
def test_a_report_over_its_check(benchmark, stations, clear, ending):
    project = ring_bay(stations, clear=clear)

    def report():
        return report_file(findings_of(swept(project), origin=Origin("0" * 64, "Baysweep"), date="2026-01-31"), ending, fonts=FONTS)

    data = benchmark.pedantic(report, rounds=ROUNDS if benchmark.enabled else 1)
    assert (b"Breach: " in data) == (ending == ".html" and not clear)
    seconds = [float("nan")]
    if benchmark.enabled:
        seconds = [_seconds(project) for _ in range(ROUNDS)]
    own = benchmark.stats.stats.min if benchmark.stats else float("nan")
    bodies = sum(len(section.bodies) for section in project.sections)
    benchmark.extra_info.update(
        {"bodies": bodies, "ratio": round(own / min(seconds), 2), "check_s": round(min(seconds), 2), "kB": len(data) // 1000}
    )


def _seconds(project):
    started = time.perf_counter()
    check_project(project)
    return time.perf_counter() - started
