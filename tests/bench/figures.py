"""All speeds as one plain table: `python -m tests.bench.figures`. Each line is measured beside what it is compared with, in one run.

Times are the least of several, on the generated ring bays of `tests/bench/ring_bay.py`. What is aimed at was set for a quiet machine
of two cores; ratios say more than seconds where other work runs beside.
"""

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from functools import cache, partial
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from msgspec.structs import replace

from core.model.project import Project
from core.motion.linkage import linkage_of
from core.motion.pose import poses
from core.project_file.write import project_to_bytes
from core.sweep.at_pose import PoseGaps
from core.sweep.combined import sweep
from core.sweep.drive_map import map_of
from core.sweep.frontier import Effort
from core.sweep.kept import Kept
from core.sweep.plan import Plan, plan_of
from core.sweep.run import BOXES, check_project
from core.sweep.solo import sweep_alone
from core.sweep.tables import RowsOf, all_drives, one_drive
from core.tolerances import DEFAULT_TOLERANCES
from tests.bench import test_loops
from tests.bench.ring_bay import SECTION, ring_bay
from tests.bench.scripted import coal_loop, positions, scripted_loop
from tests.mechanisms import four_bar

STATIONS = (4, 8, 16)
LOOPED = 20_000
"""Poses that loops are solved at."""


class Line(NamedTuple):
    """One line of the table; `reached` is empty where there is no figure to reach."""

    what: str
    measured: str
    target: str
    ratio: str = ""


def least(work: Callable[[], Any], times: int = 5) -> float:
    """The least seconds of several runs after one that is not counted."""
    work()
    return min(_seconds(work) for _ in range(times))


def _seconds(work: Callable[[], Any]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def ms(seconds: float) -> str:
    return f"{1e3 * seconds:.3g} ms"


def per_second(rate: float) -> str:
    return f"{rate / 1e6:.3g} million/s"


@cache
def laid_out(stations: int) -> Plan:
    project = ring_bay(stations)
    return plan_of(project, linkage_of(project), tolerances=DEFAULT_TOLERANCES)


def need_of(plan: Plan, rows: RowsOf) -> np.ndarray:
    return np.array([plan.rows[row].need for row in rows.row])


@cache
def script_rate() -> float:
    """Pose-pairs a second of the scripted loop."""
    project = ring_bay(4)
    values = positions(project, step=1.0)[::8]
    started = time.perf_counter()
    _, measured = scripted_loop(project, values)
    return measured / (time.perf_counter() - started)


def proved(stations: int) -> tuple[float, int]:
    """Seconds for all combinations of a ring bay, and its pairs."""
    plan = laid_out(stations)
    rows = all_drives(plan)
    work = partial(sweep, rows.table, need_of(plan, rows), tolerances=DEFAULT_TOLERANCES, cap=BOXES, effort=Effort(), lowest=False)
    return least(work), len(rows.row)


def combinations() -> Iterator[Line]:
    for stations, target in zip(STATIONS, ("50 ms", "150 ms", "600 ms"), strict=True):
        plan = laid_out(stations)
        seconds, pairs = proved(stations)
        spans = plan.high - plan.low
        grid = sum(float(np.prod(np.ceil(spans[list(row.drives)]) + 1)) for row in plan.rows)
        ratio = f"{grid / script_rate() / seconds:.2g} x the script on a 1 degree grid of each pair ({grid:.2g} pose-pairs, not run)"
        yield Line(f"1. {2 + 6 * stations} bodies, {2 * stations} drives, {pairs} pairs, all combinations", ms(seconds), target, ratio)


def command() -> Iterator[Line]:
    project = ring_bay(4)
    yield Line("1. the verdict of the whole command, after imports", ms(least(lambda: verdict_of(project, Kept()))), "500 ms")
    yield Line("1. the whole answer with lowest gaps and safe travel", ms(least(lambda: check_project(project), times=3)), "")
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "ring.bay.json"
        file.write_bytes(project_to_bytes(project))
        # As in an installed program modules are compiled once: the first run, which is not counted, writes them.
        kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"} | {"PYTHONPYCACHEPREFIX": folder}
        started = [sys.executable, "-m", "app", "check", str(file)]
        page, whole = (least(lambda words=words: first_output([*started, *words], kept), times=3) for words in ((), ("--json",)))
        empty = least(lambda: subprocess.run([sys.executable, "-c", "import numpy, shapely"], check=True, env=kept), times=3)
    beside = "x importing numpy and shapely"
    yield Line("1. from the start of `check` to its first output", ms(page), "1 s", f"{page / empty:.2g} {beside}")
    yield Line(
        "1. from the start of `check --json`, whose first output is the whole answer", ms(whole), "", f"{whole / empty:.2g} {beside}"
    )


def verdict_of(project: Project, kept: Kept) -> None:
    check_project(project, covers="combined", seek="verdict", safe_anywhere=False, safe_box=False, kept=kept)


def first_output(command: list[str], environment: dict[str, str]) -> None:
    with subprocess.Popen(command, stdout=subprocess.PIPE, env=environment) as running:
        assert running.stdout is not None
        assert running.stdout.read(1)
        running.stdout.read()


def solo() -> Iterator[Line]:
    plan = laid_out(4)
    rows = one_drive(plan)
    seconds = least(partial(sweep_alone, rows.table, need_of(plan, rows), tolerances=DEFAULT_TOLERANCES, cap=BOXES, effort=Effort()))
    values = positions(plan.project, step=1.0)
    # the script measures every pair at every position of every drive
    script = len(values) * len(plan.rows) / script_rate()
    yield Line("2. solo table, ends to 0.001", ms(seconds), "40 ms, 120 x", f"{script / seconds:.3g} x the script in 1 degree steps")


def live() -> Iterator[Line]:
    project = ring_bay(4)
    gaps = PoseGaps(project)
    yield Line("3. one pose of all pairs", ms(least(lambda: gaps.at({project.drives[0].name: 5.0}), times=20)), "2 ms")
    kept = Kept()
    verdict_of(project, kept)
    edits = iter([edited(project, 0.1 * step) for step in range(1, 13)])
    again = least(lambda: verdict_of(next(edits), kept), times=10)
    anew = least(lambda: verdict_of(project, Kept()))
    yield Line("3. one edited body re-proved", ms(again), "20 ms", f"{anew / again:.3g} x proving all anew")


def edited(project: Project, deeper: float) -> Project:
    section = project.sections[0]
    bodies = tuple(replace(body, depth=(0, 10 - deeper)) if body.name == "flap 1" else body for body in section.bodies)
    return replace(project, sections=(replace(section, bodies=bodies),))


def batches() -> Iterator[Line]:
    project = ring_bay(4)
    gaps = PoseGaps(project)
    rng = np.random.default_rng(7)
    plan = laid_out(4)
    values = rng.uniform(plan.low, plan.high, size=(300, len(plan.low)))
    rate = len(values) * len(plan.rows) / least(lambda: gaps.all_over(SECTION, values, cap=10.0))
    turns = np.linspace(0.0, np.pi, 500)
    coal = 9 * len(turns) / least(lambda: coal_loop([(20.0, 10.0), (23.0, 12.0), (40.0, 20.0)], turns), times=3)
    told = f"{rate / script_rate():.3g} x the script, {rate / coal:.3g} x coal"
    yield Line("4. batch gaps, exact under 10 mm", per_second(rate), "3 million/s, 60 x, 8 x", told)


def maps() -> Iterator[Line]:
    project = ring_bay(4)
    first, second = project.drives[1].name, project.drives[3].name
    for leaf, target in ((1.0, "1 s"), (0.25, "5 s")):
        for others in ("home", "any"):
            found = map_of(project, first, second, others=others, leaf=leaf)
            seconds = least(lambda leaf=leaf, others=others: map_of(project, first, second, others=others, leaf=leaf), times=2)
            cells = found.state.size
            script = cells * len(laid_out(4).rows) / script_rate()
            ratio = f"{script / seconds:.2g} x the script at one pose a cell" if others == "home" else ""
            yield Line(f"5. map at {leaf:g} degree, others {others}, {cells} cells", ms(seconds), target, ratio)


def loops() -> Iterator[Line]:
    cases = (
        (
            "6. dyads",
            four_bar((40.0, 120.0, 80.0, 100.0), drawn=40),
            (40, 400),
            partial(test_loops._roots, (40.0, 120.0, 80.0, 100.0)),
            "5",
        ),
        ("6. three coupled loops", test_loops.four_bars_in_a_row(), (60, 120), test_loops._levers, "0.1"),
    )
    for what, project, (low, high), roots, target in cases:
        linkage = linkage_of(project)
        values = np.linspace(low, high, LOOPED)[:, None]
        seconds = least(lambda linkage=linkage, values=values: poses(linkage.sections[0], linkage, values))
        some = values[:: LOOPED // 300, 0]
        alone = _seconds(lambda roots=roots, some=some: roots(some)) / len(some)
        rate = LOOPED / seconds
        yield Line(f"{what}, whole poses", per_second(rate), f"{target} million/s, 15 x", f"{alone * rate:.3g} x scipy.optimize.root")


def table(lines: list[Line]) -> str:
    head = Line("what", "measured", "target", "ratio in this run")
    widths = [max(len(line[column]) for line in (head, *lines)) for column in range(3)]
    return "\n".join(
        "  ".join([*(f"{cell:<{width}}" for cell, width in zip(line, widths, strict=False)), line.ratio]) for line in (head, *lines)
    )


if __name__ == "__main__":
    parts = (combinations, command, solo, live, batches, maps, loops)
    print(table([line for part in parts for line in part()]))  # noqa: T201 - a table is what this is for
