"""An answer with kept results is the answer without: random bays, one random edit after another, loops among them.

BAYSWEEP_RANDOM_BAYS sets how many bays: a fortieth of it.
"""

import os
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from core.errors import BaysweepError
from core.sweep.kept import Kept
from core.sweep.result import SweepResult, Work
from core.sweep.run import check_project
from core.sweep.task import Task, Tasks
from tests.bays import project
from tests.property.bay_edits import edited
from tests.property.five_bars import five_bar_bay
from tests.property.random_bays import random_bay
from tests.property.random_loops import four_bar_bay

COUNT = int(os.environ.get("BAYSWEEP_RANDOM_BAYS", "3000")) // 40
CHUNK = 25
EDITS = 5
BOXES = 300
"""Cap of boxes a row: rows that spend it must come out the same too."""


def answer(record: dict[str, Any], kept: Kept | None, **options: Any) -> SweepResult:
    """The answer but for how much work it was."""
    found = check_project(project(record), boxes=BOXES, safe_box=False, kept=kept, **options)
    return replace(found, work=Work())


def story(record: dict[str, Any], seed: int, kinds: Sequence[str]) -> Iterator[tuple[str, dict[str, Any]]]:
    """A bay, edited again and again, and as it was at first; edits that a file may not hold are left out."""
    rng = np.random.default_rng(seed)
    yield "as drawn", record
    now, told = record, 0
    for _ in range(10 * EDITS):
        try:
            name, after = edited(now, rng, kinds)
            project(after)
        except (BaysweepError, LookupError):
            continue
        now, told = after, told + 1
        yield name, now
        if told == EDITS:
            break
    yield "all undone", record


def differences(record: dict[str, Any], seed: int, kinds: Sequence[str] = (), **options: Any) -> Iterator[str]:
    kept = Kept()
    for name, now in story(record, seed, kinds):
        warm, cold = answer(now, kept, **options), answer(now, None, **options)
        if warm != cold:
            yield f"seed {seed}, after {name!r}"


@pytest.mark.parametrize("first", range(0, COUNT, CHUNK))
def test_warm_answer_is_the_cold_one(first):
    found = [
        difference
        for seed in range(first, min(first + CHUNK, COUNT))
        for difference in differences(random_bay(seed), seed, seek=("lowest", "verdict")[seed % 2], safe_anywhere=seed % 5 == 0)
    ]
    assert not found, "\n".join(found)


@pytest.mark.parametrize("seed", range(max(COUNT // 15, 2)))
@pytest.mark.parametrize("bay", [four_bar_bay, five_bar_bay])
def test_warm_answer_of_a_loop_is_the_cold_one(bay, seed):
    assert not list(differences(bay(seed), seed, seek=("lowest", "verdict")[seed % 2], safe_anywhere=False))


@pytest.mark.parametrize(
    ("forgotten", "kinds"),
    [
        ({"shapes": ()}, ["move vertex"]),
        ({"joints": ()}, ["change relief"]),
        ({"motion": ()}, ["change travel", "change home"]),
        ({"required": 0.0, "need": 0.0}, ["add rule"]),
        ({"tolerance": 0.0, "need": 0.0}, ["change tolerance"]),
        ({"rules": ()}, ["rule between drives"]),
    ],
)
def test_key_that_forgets_something_is_found_out(forgotten, kinds, monkeypatch):
    """The property above can fail: a task without one of its parts takes an old answer for a new one."""
    whole = Tasks.of

    def broken(self: Tasks, row: Any) -> Task:
        return whole(self, row)._replace(**forgotten)

    monkeypatch.setattr(Tasks, "of", broken)
    found = (next(differences(random_bay(seed), seed, kinds, seek="verdict", safe_anywhere=False), None) for seed in range(60))
    assert next((difference for difference in found if difference), None) is not None


def test_row_alone_in_a_bay_has_the_answer_that_it_has_among_others():
    for seed in range(0, 24, 2):
        record = random_bay(seed)
        whole = answer(record, None, safe_anywhere=False)
        section = record["sections"][0]
        for check in whole.of_sweep("combined"):
            names = [body["name"] for body in section["bodies"]]
            others = [[one, other] for place, one in enumerate(names) for other in names[place + 1 :] if {one, other} != {*check.between}]
            exempt = [{"section": section["name"], "between": between, "unchecked": "looked at alone"} for between in others]
            own = [rule for rule in record["gap_rules"] if {*rule["between"]} == {*check.between}]
            if len(own) != len(record["gap_rules"]):
                continue
            alone = answer({**record, "gap_rules": [*own, *exempt]}, None, safe_anywhere=False)
            assert alone.checks == tuple(each for each in whole.checks if each.between == check.between)
