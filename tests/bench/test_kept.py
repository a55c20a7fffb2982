"""One edited body proved again, against the whole bay: `pytest tests/bench/test_kept.py --benchmark-enable`, ratios in `extra_info`.

Nothing here fails for being slow; the warm answer is compared with the cold one.
"""

import time
from collections.abc import Iterator
from dataclasses import replace
from itertools import count

import pytest
from msgspec import structs

from core.model.project import Project
from core.sweep.kept import Kept
from core.sweep.result import SweepResult, Work
from core.sweep.run import check_project
from tests.bench.ring_bay import ring_bay

ROUNDS = 15
CHANGED = "flap 1"


def edits(project: Project) -> Iterator[Project]:
    """The project with one corner of one body moved, each time a little farther."""
    (section,) = project.sections
    place = [body.name for body in section.bodies].index(CHANGED)
    body = section.bodies[place]
    outline, *others = body.shapes
    for number in count(1):
        points = [(x - 0.01 * number, y) if corner == 5 else (x, y) for corner, (x, y) in enumerate(outline.points)]
        moved = structs.replace(body, shapes=(structs.replace(outline, points=tuple(points)), *others))
        bodies = (*section.bodies[:place], moved, *section.bodies[place + 1 :])
        yield structs.replace(project, sections=(structs.replace(section, bodies=bodies),))


def answer(project: Project, kept: Kept | None, seek: str) -> SweepResult:
    return check_project(project, seek=seek, safe_anywhere=False, safe_box=False, kept=kept)


@pytest.mark.parametrize("seek", ["verdict", "lowest"])
@pytest.mark.parametrize("stations", [4, 8, 16])
def test_one_edited_body(benchmark, stations, seek):
    project, kept = ring_bay(stations), Kept()
    started = time.perf_counter()
    answer(project, kept, seek)
    cold = time.perf_counter() - started
    after = edits(project)

    def next_edit():
        return (next(after), kept, seek), {}

    warm = benchmark.pedantic(answer, setup=next_edit, rounds=ROUNDS if benchmark.enabled else 1)
    if stations == 4:
        last = next(after)
        assert replace(answer(last, kept, seek), work=Work()) == replace(answer(last, None, seek), work=Work())
    own = benchmark.stats.stats.min if benchmark.stats else float("nan")
    benchmark.extra_info.update({"ratio": round(cold / own, 1), "warm_ms": round(1000 * own, 2), "checks": len(warm.checks)})
