"""Round numbers for grids and rulers. Pure."""

import math
from dataclasses import dataclass

LEAST_SCALE, MOST_SCALE = 0.02, 400.0
"""Logical pixels a mm that a board can be enlarged to."""

FINE_LEAST = 12.0
"""Grid lines stand at least this many logical pixels apart."""

NUMBER_LEAST = 46.0
"""Ruler numbers stand at least this many logical pixels apart."""


@dataclass(frozen=True, slots=True)
class Steps:
    """mm between grid lines and ticks (`fine`), between stronger lines (`coarse`), between numbers (`number`)."""

    fine: float
    coarse: float
    number: float


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
