"""Paints the cells of the map.

Paper where clear, level lines where rules leave something out, dots where undecided, the heat of contact with hatching where a pair
breaches.
"""

import math

import numpy as np
from numpy.typing import NDArray
from PySide6.QtGui import QColor, QImage

from app.drive_map.plane import worst_under
from app.theme import Style
from app.timeline.cells import DOT_PITCH, FIRST_CONTACT, PALE, PITCHES
from core.sweep.drive_map import BREACH, RULED_OUT, UNDECIDED, DriveMap

HATCH_WIDTH = 0.8
"""Logical pixels of a hatch line."""
LINE_PITCH, LINE_INK = 5.0, 0.6
"""Of the lines over what rules leave out: logical pixels from one to the next, and how much of their colour they take."""


def picture(found: DriveMap, style: Style, *, width: float, height: float, ratio: float, fresh: bool) -> QImage:
    """The map as an image of logical pixels at `ratio` device pixels to one; pale where it is not of the project as it is now."""
    size = max(round(width * ratio), 1), max(round(height * ratio), 1)
    state = worst_under(found.state, width=size[0], height=size[1])
    across, down = np.arange(size[0]) / ratio, np.arange(size[1])[:, None] / ratio
    paint = np.empty((*state.shape, 3))
    paint[:] = _rgb(style.board)
    breach = state == BREACH
    paint[breach] = _rgb(style.heat[FIRST_CONTACT - 1])
    _mix(paint, np.where(breach, _hatching(across, down, ratio), 0.0), style.hatch)
    _mix(paint, np.where(state == RULED_OUT, _level_lines(down), 0.0), style.quiet_text)
    _mix(paint, np.where(state == UNDECIDED, _dots(across, down), 0.0), style.ink)
    _mix(paint, np.where(_border(breach, math.ceil(ratio)), 1.0, 0.0), style.ink)
    if not fresh:
        paint = PALE * paint + (1.0 - PALE) * _rgb(style.board)
    return _image(paint, ratio)


def _hatching(across: NDArray[np.float64], down: NDArray[np.float64], ratio: float) -> NDArray[np.float64]:
    """How much of each pixel lines at 135 degrees cover, 0 to 1."""
    pitch = PITCHES[FIRST_CONTACT]
    off = np.abs((across - down + pitch / 2.0) % pitch - pitch / 2.0) / math.sqrt(2.0)
    covered: NDArray[np.float64] = np.clip((HATCH_WIDTH / 2.0 - off) * ratio + 0.5, 0.0, 1.0)
    return covered


def _dots(across: NDArray[np.float64], down: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.where((across % DOT_PITCH < 1.0) & (down % DOT_PITCH < 1.0), 1.0, 0.0)


def _level_lines(down: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.where(down % LINE_PITCH < 1.0, LINE_INK, 0.0)


def _border(breach: NDArray[np.bool_], thick: int) -> NDArray[np.bool_]:
    """The pixels of a breach that touch what is none, `thick` deep."""
    inner = breach.copy()
    for _ in range(thick):
        padded = np.pad(inner, 1, mode="edge")
        inner = inner & padded[:-2, 1:-1] & padded[2:, 1:-1] & padded[1:-1, :-2] & padded[1:-1, 2:]
    return breach & ~inner


def _mix(paint: NDArray[np.float64], share: NDArray[np.float64], colour: str) -> None:
    paint += share[..., None] * (_rgb(colour) - paint)


def _rgb(colour: str) -> NDArray[np.float64]:
    made = QColor(colour)
    return np.array([made.red(), made.green(), made.blue()], dtype=np.float64)


def _image(paint: NDArray[np.float64], ratio: float) -> QImage:
    height, width = paint.shape[:2]
    pixels = np.full((height, width, 4), 255, dtype=np.uint8)
    pixels[..., :3] = np.rint(paint)
    # The copy outlives the array.
    image = QImage(pixels.data, width, height, 4 * width, QImage.Format.Format_RGBX8888).copy()
    image.setDevicePixelRatio(ratio)
    return image
