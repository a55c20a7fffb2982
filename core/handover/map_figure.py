"""A two-drive map on paper: clear left white, left out by rules lined, undecided dotted, a breach in its heat and hatched, home a cross."""

from collections.abc import Iterator

import numpy as np

from core.drawing.display_list import Fill, Heat, Item, Stroke, Text
from core.drawing.hatch import OVERLAP_ANGLE, hatch, hatch_path
from core.drawing.path import Path, polyline
from core.drawing.sheet import Sheet, rectangle
from core.handover.figures import FIGURE_WIDTH
from core.handover.fonts import Fonts
from core.model.project import Drive, Project
from core.sentences.numbers import drive_value, plain
from core.sweep.drive_map import BREACH, RULED_OUT, UNDECIDED, DriveMap

SIDE = 74.0
"""The longer side of the map, mm."""

_LEFT, _BOTTOM, _TOP = 26.0, 12.0, 6.0
_TEXT, _SMALL = 12.0, 10.0
_WORDS_AT = 112.0
_LINES = 1.8


def map_figure(project: Project, found: DriveMap, *, fonts: Fonts) -> Sheet:
    """`found` with its axes; the first drive runs to the right, the second upwards."""
    across, up = (next(drive for drive in project.drives if drive.name == name) for name in found.drives)
    area = (_LEFT, _BOTTOM, _LEFT + SIDE, _BOTTOM + SIDE)
    frame = rectangle(area)
    items: list[Item] = [*_cells(found, area), Stroke((*frame, *_ticks(area)), "narrow")]
    items += _axis_words(across, up, area, fonts)
    home = (_along(across, across.home, area[0], area[2]), _along(up, up.home, area[1], area[3]))
    arm = 1.6
    cross: Path = (
        polyline((home[0] - arm, home[1]), (home[0] + arm, home[1])),
        polyline((home[0], home[1] - arm), (home[0], home[1] + arm)),
    )
    items += [Stroke(cross, "wide"), *_key(found, fonts)]
    return Sheet(FIGURE_WIDTH, _BOTTOM + SIDE + _TOP, tuple(items))


def _along(drive: Drive, value: float, low: float, high: float) -> float:
    span = drive.end - drive.start
    return low + (high - low) * ((value - drive.start) / span if span else 0.5)


def _cells(found: DriveMap, area: tuple[float, float, float, float]) -> Iterator[Item]:
    """Runs of equal cells, a row at a time, so that a fine map stays small."""
    rows, columns = found.state.shape
    wide, high = (area[2] - area[0]) / columns, (area[3] - area[1]) / rows
    for state in (BREACH, UNDECIDED, RULED_OUT):
        outlines: list[Path] = []
        for row in range(rows):
            same = np.flatnonzero(np.diff(np.concatenate([[0], (found.state[row] == state).astype(np.int8), [0]])))
            for first, after in same.reshape(-1, 2).tolist():
                low = area[1] + row * high
                outlines.append(rectangle((area[0] + first * wide, low, area[0] + after * wide, low + high)))
        if outlines and state == BREACH:
            yield Fill(tuple(outlines), Heat(4))
            yield Stroke(hatch_path(hatch(tuple(outlines), angle=OVERLAP_ANGLE, pitch=1.4)), "narrow", "hatch")
        elif outlines and state == RULED_OUT:
            yield Stroke(hatch_path(hatch(tuple(outlines), angle=0.0, pitch=_LINES)), "narrow", "quiet")
        elif outlines:
            yield Stroke(hatch_path(hatch(tuple(outlines), angle=0.0, pitch=0.9)), "dashed")


def _ticks(area: tuple[float, float, float, float]) -> Path:
    left, low, right, high = area
    places = [(left, low), (right, low)]
    return (*(polyline((x, low), (x, low - 1.2)) for x, _ in places), *(polyline((left, y), (left - 1.2, y)) for y in (low, high)))


def _axis_words(across: Drive, up: Drive, area: tuple[float, float, float, float], fonts: Fonts) -> Iterator[Item]:
    left, low, right, high = area
    yield Text((left, low - 3.4), drive_value(across.start, across.unit, tr=plain), _SMALL, "quiet", "left")
    yield Text((right, low - 3.4), drive_value(across.end, across.unit, tr=plain), _SMALL, "quiet", "right")
    yield Text(((left + right) / 2.0, low - 7.6), fonts.cut(across.name, size=_TEXT * 0.25, width=SIDE), _TEXT, "ink", strong=True)
    yield Text((left - 2.4, low), drive_value(up.start, up.unit, tr=plain), _SMALL, "quiet", "right")
    yield Text((left - 2.4, high), drive_value(up.end, up.unit, tr=plain), _SMALL, "quiet", "right")
    yield Text(
        (left - 2.4, (low + high) / 2.0), fonts.cut(up.name, size=_TEXT * 0.25, width=left - 3.0), _TEXT, "ink", "right", strong=True
    )


def _key(found: DriveMap, fonts: Fonts) -> Iterator[Item]:
    top = _BOTTOM + SIDE - 4.0
    swatch = rectangle((_WORDS_AT, top - 2.0, _WORDS_AT + 6.0, top + 2.0))
    yield Fill((swatch,), Heat(4))
    yield Stroke(hatch_path(hatch((swatch,), angle=OVERLAP_ANGLE, pitch=1.4)), "narrow", "hatch")
    yield Text((_WORDS_AT + 8.0, top), "somewhere in it too close", _TEXT, "ink", "left")
    dotted = rectangle((_WORDS_AT, top - 9.0, _WORDS_AT + 6.0, top - 5.0))
    yield Stroke(hatch_path(hatch((dotted,), angle=0.0, pitch=0.9)), "dashed")
    yield Text((_WORDS_AT + 8.0, top - 7.0), "undecided", _TEXT, "ink", "left")
    yield Stroke(rectangle((_WORDS_AT, top - 16.0, _WORDS_AT + 6.0, top - 12.0)), "narrow")
    yield Text((_WORDS_AT + 8.0, top - 14.0), "proved clear", _TEXT, "ink", "left")
    middle = (_WORDS_AT + 3.0, top - 21.0)
    arms = (
        polyline((middle[0] - 1.6, middle[1]), (middle[0] + 1.6, middle[1])),
        polyline((middle[0], middle[1] - 1.6), (middle[0], middle[1] + 1.6)),
    )
    yield Stroke(arms, "wide")
    yield Text((_WORDS_AT + 8.0, top - 21.0), "home", _TEXT, "ink", "left")
    foot = top - 30.0
    if np.any(found.state == RULED_OUT):
        left_out = rectangle((_WORDS_AT, top - 30.0, _WORDS_AT + 6.0, top - 26.0))
        yield Stroke((*left_out, *hatch_path(hatch((left_out,), angle=0.0, pitch=_LINES))), "narrow", "quiet")
        yield Text((_WORDS_AT + 8.0, top - 28.0), "left out by rules, at least in part", _TEXT, "ink", "left")
        foot -= 7.0
    lines = [
        line
        for _, (one, other) in found.pairs
        for line in fonts.wrapped(f"{one} and {other}", size=_TEXT * 0.25, width=FIGURE_WIDTH - _WORDS_AT)
    ]
    for number, line in enumerate(lines[:7]):
        yield Text((_WORDS_AT, foot - 4.4 * number), line, _TEXT, "ink", "left")
    if len(lines) > 7:
        yield Text((_WORDS_AT, foot - 4.4 * 7), "and more", _TEXT, "quiet", "left")
