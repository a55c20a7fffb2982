"""Rules between drives: while one lies inside its interval another stays in its own. What is left of a row's range.

The range of a row's drives is cut at every end that a rule names; a cell of that grid is allowed as a whole or not at
all. Cells are closed: at the end of a `while` interval itself the rule is not in force, unless travel ends there.
"""

from collections.abc import Sequence
from itertools import pairwise, product
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.batch import Ragged, ragged
from core.clearance.motion_in_box import Floats, Ints
from core.model.project import AllowedTogether, Project

Bools = NDArray[np.bool_]


class Cells(NamedTuple):
    """What each of R rows may reach: rows tells the cells of each, low and high (C, K) drive units."""

    rows: Ragged
    low: Floats
    high: Floats

    def of(self, rows: Ints, low: Floats, high: Floats) -> "Cells":
        """The cells of the chosen rows inside other ranges (n, K); cells that fall outside are dropped."""
        owner, cell = self.rows.spread(rows)
        inner, outer = np.maximum(self.low[cell], low[owner]), np.minimum(self.high[cell], high[owner])
        kept = np.all(inner <= outer, axis=1)
        counts = np.bincount(owner[kept], minlength=len(rows))
        return Cells(ragged(counts.astype(np.int64)), inner[kept], outer[kept])

    def hold(self, rows: Ints, values: Floats) -> Bools:
        """Whether the values (n, K) of the rows (n,) are allowed."""
        owner, cell = self.rows.spread(rows)
        inside = np.all((self.low[cell] <= values[owner]) & (values[owner] <= self.high[cell]), axis=1)
        held: Bools = np.bincount(owner[inside], minlength=len(rows)) > 0
        return held


def cells_of(project: Project, drives_of: Sequence[tuple[int, ...]], *, low: Floats, high: Floats) -> Cells:
    """The allowed cells of rows with the given drives (project indices) over their ranges low and high (R, K)."""
    found = [
        allowed_cells(project, drives, low=low[row, : len(drives)], high=high[row, : len(drives)]) for row, drives in enumerate(drives_of)
    ]
    width = low.shape[1]
    both = np.zeros((2, sum(len(cells) for cells in found), width))
    place = 0
    for cells in found:
        for start, end in cells:
            both[0, place, : len(start)], both[1, place, : len(end)] = start, end
            place += 1
    return Cells(ragged([len(cells) for cells in found]), both[0], both[1])


def allowed_cells(
    project: Project, drives: tuple[int, ...], *, low: Floats, high: Floats
) -> list[tuple[tuple[float, ...], tuple[float, ...]]]:
    """(low, high) of each allowed cell of a range of drives, in order; one cell, the range itself, where no rule binds."""
    rules = bounds_of(project, drives)
    spans = [_spans(column, rules, float(start), float(end)) for column, (start, end) in enumerate(zip(low, high, strict=True))]
    cells = [cell for cell in product(*spans) if not any(rule.forbids(cell) for rule in rules)]
    return [(tuple(span[0] for span in cell), tuple(span[1] for span in cell)) for cell in cells]


class Bound(NamedTuple):
    """A rule over columns of a range. when: None where its drive is not in the range but always inside its interval."""

    when: int | None
    during: tuple[float, float]
    keep: int
    within: tuple[float, float]

    def forbids(self, cell: Sequence[tuple[float, float]]) -> bool:
        """Whether the rule rules out a cell (low, high of each column)."""
        if self.when is not None:
            middle = sum(cell[self.when]) / 2
            if not self.during[0] < middle < self.during[1]:
                return False
        start, end = cell[self.keep]
        return not (self.within[0] <= start and end <= self.within[1])


def _bound(project: Project, drives: tuple[int, ...], rule: AllowedTogether) -> Bound | None:
    """The rule as it binds a range of drives, or None where it leaves all of it possible."""
    names = [project.drives[index].name for index in drives]
    if rule.keep.drive not in names:
        return None  # The other drive can always stand where the rule wants it.
    during, within = (rule.when.start, rule.when.end), (rule.keep.start, rule.keep.end)
    if rule.when.drive in names:
        return Bound(names.index(rule.when.drive), during, names.index(rule.keep.drive), within)
    other = next(drive for drive in project.drives if drive.name == rule.when.drive)
    always = during[0] <= other.start and other.end <= during[1]
    return Bound(None, during, names.index(rule.keep.drive), within) if always else None


def bounds_of(project: Project, drives: tuple[int, ...]) -> list[Bound]:
    """The rules that bind a range of drives, in order."""
    return [bound for bound in (_bound(project, drives, rule) for rule in project.allowed_together) if bound is not None]


def _spans(column: int, rules: Sequence[Bound], start: float, end: float) -> list[tuple[float, float]]:
    """The range of one drive cut at the rules' ends; a value that a rule holds a drive to is a span of its own."""
    cuts = {start, end}
    held = set()
    for rule in rules:
        ends = [rule.during] * (rule.when == column) + [rule.within] * (rule.keep == column)
        cuts.update(cut for pair in ends for cut in pair if start < cut < end)
        if rule.keep == column and rule.within[0] == rule.within[1] and start <= rule.within[0] <= end:
            held.add((rule.within[0], rule.within[0]))
    ordered = sorted(cuts)
    between = list(pairwise(ordered)) or [(start, end)]
    return sorted({*between, *held})
