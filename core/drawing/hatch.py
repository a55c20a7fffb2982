"""The hatch of cut material: parallel lines inside outlines, as ISO 128-3 draws a cut; ends are exact, on arcs too."""

import math

import numpy as np
from numpy.typing import NDArray

from core.drawing.crossings import level_crossings, pieces
from core.drawing.path import Path, Run, Segment

Floats = NDArray[np.float64]

CUT_ANGLE = 45.0
"""Cut material, degrees."""

OVERLAP_ANGLE = 135.0
"""Overlaps, degrees: never like cut material."""


def hatch(outlines: tuple[Path, ...], *, angle: float, pitch: float) -> Floats:
    """Lines `pitch` mm apart at `angle` degrees over all that lies inside any of the closed `outlines`.

    Returns (n, 2, 2) float: start and end of each line, mm, section frame. The lines stand in step with the section's
    origin, so that neighbouring bodies and repeated drawings match. No outline gives no line.
    """
    table = pieces(outlines, angle=angle)
    if not len(table.low):
        return np.empty((0, 2, 2))
    first, last = math.ceil(float(table.low.min()) / pitch), math.floor(float(table.high.max()) / pitch)
    levels: Floats = pitch * np.arange(first, last + 1, dtype=np.float64)
    level, _, x = level_crossings(table, levels)
    level, begin, end = _joined(level[0::2], x[0::2], x[1::2]) if len(outlines) > 1 else (level[0::2], x[0::2], x[1::2])
    level, begin, end = level[end > begin], begin[end > begin], end[end > begin]  # a line that touches a corner alone shows nothing
    turn = math.radians(angle)
    along, across = np.array([math.cos(turn), math.sin(turn)]), np.array([-math.sin(turn), math.cos(turn)])
    feet = levels[level][:, None] * across
    return np.stack([feet + begin[:, None] * along, feet + end[:, None] * along], axis=1)


def hatch_path(lines: Floats) -> Path:
    """Hatch lines (n, 2, 2) as a path of open runs."""
    return tuple(Run((Segment((ax, ay), (bx, by)),), closed=False) for (ax, ay), (bx, by) in lines.tolist())


def _joined(level: NDArray[np.intp], begin: Floats, end: Floats) -> tuple[NDArray[np.intp], Floats, Floats]:
    """Join the spans of several outlines where they overlap on one level."""
    order = np.lexsort((begin, level))
    level, begin, end = level[order], begin[order], end[order]
    rows: list[tuple[int, float, float]] = []
    for at, low, high in zip(level.tolist(), begin.tolist(), end.tolist(), strict=True):
        if rows and rows[-1][0] == at and low <= rows[-1][2]:
            rows[-1] = (at, rows[-1][1], max(high, rows[-1][2]))
        else:
            rows.append((at, low, high))
    table = np.array(rows, float).reshape(-1, 3)
    return table[:, 0].astype(np.intp), table[:, 1], table[:, 2]
