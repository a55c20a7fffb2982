"""How large is a section shown, and which round numbers do its grid and its rulers take? Pure."""

import math
from dataclasses import dataclass

from core.drawing.extent import Extent
from core.model.shapes import Point

LEAST_SCALE, MOST_SCALE = 0.02, 400.0
"""Logical pixels a mm that a board can be enlarged to."""

FINE_LEAST = 12.0
"""Grid lines stand at least this many logical pixels apart."""

NUMBER_LEAST = 46.0
"""Ruler numbers stand at least this many logical pixels apart."""

AIR = 16.0
"""Logical pixels left free about a fitted section."""

EMPTY_HALF = 60.0
"""Half the height in mm that an empty section shows."""

BESIDE_LEAST = 100.0
"""Where fewer logical pixels than this would be left for a section, nothing stands beside it."""


@dataclass(frozen=True, slots=True)
class Steps:
    """mm between grid lines and ticks (`fine`), between stronger lines (`coarse`), between numbers (`number`)."""

    fine: float
    coarse: float
    number: float


def fitted(window: tuple[float, float], reach: Extent | None, *, beside: float) -> tuple[float, Point]:
    """Logical pixels a mm, and the place in mm at the middle of the window, at which `reach` (mm, None: nothing) fills it.

    window: width and height, logical pixels. beside: as many of its width as stay free to the right of the section.
    """
    wide, high = window[0] - 2.0 * AIR, window[1] - 2.0 * AIR
    low_x, low_y, high_x, high_y = reach or (-EMPTY_HALF, -EMPTY_HALF, EMPTY_HALF, EMPTY_HALF)
    free = beside if wide > beside + BESIDE_LEAST else 0.0
    scale = min((wide - free) / max(high_x - low_x, 1e-3), high / max(high_y - low_y, 1e-3))
    held = min(max(scale, LEAST_SCALE), MOST_SCALE)
    return held, ((low_x + high_x) / 2.0 + free / 2.0 / held, (low_y + high_y) / 2.0)


def round_step(least: float) -> float:
    """The smallest of 1, 2, 5, 10, 20, 50, ... times a power of ten that is not below `least` (which is above 0)."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(power * step for step in (1.0, 2.0, 5.0, 10.0) if power * step >= least * (1.0 - 1e-12))


def steps(pixels: float, *, number_least: float = NUMBER_LEAST) -> Steps:
    """The steps at `pixels` logical pixels a mm: coarse lines fall on round numbers and, with the default, carry them."""
    fine = round_step(FINE_LEAST / pixels)
    first = round(fine / 10.0 ** math.floor(math.log10(fine) + 1e-9))
    coarse = fine * (4.0 if first == 5 else 5.0)
    number = round_step(number_least / pixels)
    return Steps(fine, coarse, max(coarse, number) if number_least >= NUMBER_LEAST else number)


def ticks(low: float, high: float, step: float) -> list[float]:
    """The multiples of `step` from `low` to `high`, both ends counted; empty where low > high."""
    return [number * step for number in range(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1)]


def written(value: float, step: float) -> str:
    """A ruler's number with the decimals its step needs and a true minus sign."""
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    text = f"{value:.{decimals}f}"
    return "0" if float(text) == 0.0 else text.replace("-", "−")
