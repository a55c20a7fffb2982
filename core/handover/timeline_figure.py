"""The interference timeline on paper: a row a pair, a band a drive, heat by gap, breaches underlined and contacts hatched."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from core.drawing.display_list import Fill, Heat, Item, Paint, Stroke, Text
from core.drawing.hatch import OVERLAP_ANGLE, hatch, hatch_path
from core.drawing.path import polyline
from core.drawing.sheet import Sheet, rectangle
from core.handover.figures import FIGURE_WIDTH
from core.handover.fonts import Fonts
from core.model.project import Drive, Project
from core.sentences.checks import far_over
from core.sentences.checks import judged as judged_gap
from core.sentences.numbers import degree_sign, drive_value, judged_number, plain
from core.sweep.timeline import Row, heat_step, heat_steps, judged

NAMES, MOST_NAMES, TOGETHER, NUMBERS = 48.0, 64.0, 14.0, 16.0
"""Widths of the names, least and most, of the column of the combined sweep and of the lowest gaps, mm."""

ROW, STRIP = 5.2, 3.6
_HEAD, _LEVEL, _FOOT = 8.0, 4.0, 15.0
"""Heights above the rows without the names of drives, of a level of those names, and below the rows, mm."""
_TEXT, _SMALL = 12.0, 9.0
_COLUMN = 0.5
_BETWEEN, _MOST_LEVELS = 1.2, 3
_BREACH, _CONTACT = 4, 6
_PITCH = {6: 1.4, 7: 0.85}
_STEPS = ("over 4 x required", "over 2 x required", "as required", "short", "under half", "contact", "over 0.5 mm deep")


_SAMPLES, _MOST_SAMPLES = 16, 240
"""Parts of a column over which a gap is bounded apart, and parts of a drive's travel at most."""


@dataclass(frozen=True, slots=True)
class _Band:
    """One drive's strip of a row: its place and width, mm, and the values at the ends of its columns."""

    drive: Drive
    left: float
    width: float

    @property
    def edges(self) -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
        """The ends of the columns, drive units."""
        return np.linspace(self.drive.start, self.drive.end, self.columns + 1)

    @property
    def columns(self) -> int:
        """How many columns the strip has."""
        return max(2, round(self.width / _COLUMN))

    def place(self, value: float) -> float:
        """Where a value of the drive lies, mm."""
        span = self.drive.end - self.drive.start
        return self.left + self.width * ((value - self.drive.start) / span if span else 0.5)


def samples_of(project: Project) -> int:
    """How many equal parts of each drive's travel its gaps are worth bounding over: bands of many drives have few columns."""
    return min(_MOST_SAMPLES, min((_SAMPLES * band.columns for band in _bands(project)), default=_MOST_SAMPLES))


def timeline_figure(project: Project, rows: Sequence[Row], *, fonts: Fonts) -> Sheet:
    """`rows` in their order, with a head of drives and a scale of heat below. Rows that no drive moves have hairlines only."""
    names = [_name(row, several=len(project.sections) > 1) for row in rows]
    widest = max((fonts.width(name, size=_TEXT * 0.25) for name in names), default=0.0)
    bands = _bands(project, names=min(max(NAMES, widest + 2.0), MOST_NAMES))
    levels = _levels(bands, fonts)
    top = ROW * len(rows) + _FOOT
    items: list[Item] = [*_head(bands, top, fonts, rows=len(rows), levels=levels)]
    for place, (row, name) in enumerate(zip(rows, names, strict=True)):
        items += _row(row, name, bands, top - ROW * (place + 1), fonts)
    height = top + _HEAD + _LEVEL * levels
    return Sheet(FIGURE_WIDTH, height, (*items, *_scale()))


def _name(row: Row, *, several: bool) -> str:
    """A pair, with its section where the project has several."""
    return " · ".join(row.between) + (f" ({row.section})" if several else "")


def _levels(bands: Sequence[_Band], fonts: Fonts) -> int:
    """On how many levels, one to three, the drives' names stand clear of each other: one where each fits over its band."""
    wide = max(
        (fonts.width(band.drive.name, size=_SMALL * 0.25, strong=True) / (band.width + _BETWEEN - 1.0) for band in bands), default=0.0
    )
    return min(max(math.ceil(wide), 1), _MOST_LEVELS)


def _bands(project: Project, *, names: float = NAMES) -> list[_Band]:
    count = max(1, len(project.drives))
    room = FIGURE_WIDTH - names - TOGETHER - NUMBERS - _BETWEEN * (count + 1)
    return [_Band(drive, names + number * (room / count + _BETWEEN), room / count) for number, drive in enumerate(project.drives)]


def _head(bands: Sequence[_Band], top: float, fonts: Fonts, *, rows: int, levels: int) -> Iterator[Item]:
    base = top + 1.0
    for number, band in enumerate(bands):
        # Names of narrow bands stand in steps, each of the higher ones with a line down to its band.
        step = number % levels
        level, middle = base + 4.4 + _LEVEL * step, band.left + band.width / 2.0
        room = (band.width + _BETWEEN) * levels - 1.0
        yield Text((middle, level), fonts.cut(band.drive.name, size=_SMALL * 0.25, width=room, strong=True), _SMALL, "ink", strong=True)
        if step:
            yield Stroke((polyline((middle, level - 1.6), (middle, base + 3.0)),), "narrow", "quiet")
        ends = [drive_value(value, band.drive.unit, tr=degree_sign(plain)) for value in (band.drive.start, band.drive.end)]
        if sum(fonts.width(end, size=_SMALL * 0.25) for end in ends) + 1.5 <= band.width:
            yield Text((band.left, base + 1.4), ends[0], _SMALL, "quiet", "left")
            yield Text((band.left + band.width, base + 1.4), ends[1], _SMALL, "quiet", "right")
        home = band.place(band.drive.home)
        yield Stroke((polyline((home, base - 0.6), (home, base - 1.0 - ROW * rows)),), "narrow", "rule")
    together = FIGURE_WIDTH - NUMBERS - TOGETHER / 2.0
    yield Text((together, base + 2.4), "together", _SMALL, "ink", strong=True)
    yield Text((FIGURE_WIDTH, base + 2.4), "lowest, mm", _SMALL, "quiet", "right")


def _row(row: Row, name: str, bands: Sequence[_Band], low: float, fonts: Fonts) -> Iterator[Item]:
    middle = low + ROW / 2.0
    yield Text((0.0, middle), fonts.cut(name, size=_TEXT * 0.25, width=MOST_NAMES - 2.0), _TEXT, "ink", "left")
    bottom = middle - STRIP / 2.0
    for band in bands:
        if band.drive.name not in row.cells:
            yield _hairline(band.left, band.left + band.width, middle)
            continue
        edges = band.edges
        steps = heat_steps(judged(row, band.drive.name, edges), row.required)
        for first, after, step in _runs(steps.tolist()):
            left, right = (band.place(float(edges[place])) for place in (first, after))
            yield from _cell((left, bottom, right, bottom + STRIP), step)
        check = row.solo.get(band.drive.name)
        if check is not None and check.verdict == "undecided":
            yield from _undecided(band.left, band.left + band.width, middle)
    yield from _together(row, bottom, middle)
    paint: Paint = "breach" if row.verdict == "breach" else "ink"
    yield Text((FIGURE_WIDTH, middle), _lowest(row), _TEXT, paint, "right", strong=True)


def _lowest(row: Row) -> str:
    """The lowest gap of all sweeps of a pair, as it is judged: what the table of pairs tells."""
    checks = [*row.solo.values(), *([row.together] if row.together else [])]
    if not checks:
        return judged_number(row.lowest_gap - row.tolerance)
    lowest = min(checks, key=judged_gap)
    far = far_over(lowest, checks)
    return judged_number(judged_gap(lowest)) if far is None else f"> {judged_number(far)}"


def _together(row: Row, bottom: float, middle: float) -> Iterator[Item]:
    left = FIGURE_WIDTH - NUMBERS - TOGETHER + 1.0
    right = FIGURE_WIDTH - NUMBERS - 1.0
    if row.together is None:
        yield _hairline(left, right, middle)
        return
    step = heat_step(row.together.lowest_gap - row.together.tolerance, row.together.required_gap)
    yield from _cell((left, bottom, right, bottom + STRIP), step)
    if row.together.verdict == "undecided":
        yield from _undecided(left, right, middle)


def _cell(area: tuple[float, float, float, float], step: int) -> Iterator[Item]:
    """Heat; a breach is underlined and a contact hatched, so that grey print tells them too. Step 0: nothing is known."""
    if step == 0:
        yield _hairline(area[0], area[2], (area[1] + area[3]) / 2.0)
        return
    outline = rectangle(area)
    yield Fill((outline,), Heat(step - 1))
    if step >= _CONTACT:
        yield Stroke(hatch_path(hatch((outline,), angle=OVERLAP_ANGLE, pitch=_PITCH[step])), "narrow", "hatch")
    if step >= _BREACH:
        yield Stroke((polyline((area[0], area[1] - 0.35), (area[2], area[1] - 0.35)),), "wide")


def _undecided(left: float, right: float, middle: float) -> Iterator[Item]:
    dots = tuple(
        polyline((place, middle + dy), (place + 0.3, middle + dy))
        for dy in (-0.9, 0.0, 0.9)
        for place in np.arange(left + 0.4, right - 0.3, 1.1)
    )
    yield Stroke(dots, "narrow")


def _hairline(left: float, right: float, middle: float) -> Item:
    return Stroke((polyline((left, middle), (right, middle)),), "narrow", "rule")


def _runs(steps: Sequence[int]) -> Iterator[tuple[int, int, int]]:
    first = 0
    for place in range(1, len(steps) + 1):
        if place == len(steps) or steps[place] != steps[first]:
            yield first, place, steps[first]
            first = place


def _scale() -> Iterator[Item]:
    width = FIGURE_WIDTH / len(_STEPS)
    for number, words in enumerate(_STEPS):
        left = number * width
        yield from _cell((left, 6.0, left + 6.0, 9.0), number + 1)
        yield Text((left, 2.6), words, _SMALL, "ink", "left")
