"""Where everything of the interference timeline stands, as pure functions: bands of columns, rows, and what a point hits."""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from core.model.names import DriveName
from core.model.project import Drive

PANEL_WIDTH = 320
"""The side panel's width, which the columns at the right line up with."""
MARGIN = 20
LEAST_NAMES, MOST_NAMES, NAMES_APART = 156, 232, 10
"""Of the names of pairs: their least and most width, and what is left free before the columns."""
WHERE_LEFT, FLOOR_WIDTH = 92, 52
"""Of the figures at the right: where the place of the lowest gap begins, and the width of what is proved."""
BAND_GAP = 4
TOGETHER_WIDTH = 40
HEAD_HEIGHT = 22
FOOT_HEIGHT = 26
ROW_HEIGHT = 16
OPEN_ROW_HEIGHT = 52
DIVIDER_HEIGHT = 16
STRIP_HEIGHT = 11
SLIVER = 4
"""Pixels of a row at the foot that say nothing."""
OPEN_SHARE = 0.32
LEAST_BAND = 14.0


@dataclass(frozen=True, slots=True)
class Band:
    """The columns of one drive: `left`..`left + width` pixels are its travel `start`..`end`."""

    drive: DriveName
    left: float
    width: float
    start: float
    end: float
    home: float
    opened: bool

    @property
    def right(self) -> float:
        """The pixel after the last column."""
        return self.left + self.width

    @property
    def columns(self) -> int:
        """How many whole columns are drawn."""
        return max(1, round(self.width))

    def value_at(self, x: float) -> float:
        """The drive value under pixel `x`, held within travel."""
        share = min(max((x - self.left) / self.width, 0.0), 1.0)
        return self.start + share * (self.end - self.start)

    def x_of(self, value: float) -> float:
        """The pixel of a drive value."""
        span = self.end - self.start
        return self.left + (self.width * (value - self.start) / span if span else 0.0)


def bands(drives: Sequence[Drive], in_hand: DriveName | None, *, left: float, right: float) -> tuple[Band, ...]:
    """A band for each drive between two pixels; the one in hand takes about a third, the others share the rest.

    No drive: no band. Where even the least widths do not fit the bands shrink alike.
    """
    count = len(drives)
    if not count:
        return ()
    room = max(right - left - BAND_GAP * (count - 1), count)
    opened = in_hand if any(drive.name == in_hand for drive in drives) else drives[0].name
    wide = room * max(OPEN_SHARE, 1.5 / (count + 0.5))
    wide = min(wide, room - (count - 1) * min(LEAST_BAND, room / count))
    narrow = (room - wide) / (count - 1) if count > 1 else 0.0
    made: list[Band] = []
    for drive in drives:
        width = room if count == 1 else wide if drive.name == opened else narrow
        made.append(Band(drive.name, left, width, drive.start, drive.end, drive.home, drive.name == opened))
        left += width + BAND_GAP
    return tuple(made)


class Place(NamedTuple):
    """A row or a divider from `top` to `top + height`, in pixels from the first; `row` is None for a divider."""

    top: int
    height: int
    row: int | None
    heading: str = ""


def stacked(groups: Sequence[str], open_row: int | None, headings: dict[str, str]) -> tuple[Place, ...]:
    """The places of rows whose groups are given in order; a group with a heading gets a divider before its first row."""
    places: list[Place] = []
    top = 0
    for row, group in enumerate(groups):
        if group in headings and (row == 0 or groups[row - 1] != group):
            places.append(Place(top, DIVIDER_HEIGHT, None, headings[group]))
            top += DIVIDER_HEIGHT
        height = OPEN_ROW_HEIGHT if row == open_row else ROW_HEIGHT
        places.append(Place(top, height, row))
        top += height
    return tuple(places)


def place_at(places: Sequence[Place], y: float) -> Place | None:
    """The place that pixel `y` of the stack lies in."""
    found = bisect_right(places, y, key=lambda place: place.top) - 1
    if found < 0 or y >= places[found].top + places[found].height:
        return None
    return places[found]


def band_at(made: Sequence[Band], x: float) -> Band | None:
    """The band under pixel `x`; in a gap between two bands, none."""
    return next((band for band in made if band.left <= x < band.right), None)


def scroll_to(place: Place, *, offset: int, height: int) -> int:
    """The scroll offset, nearest to `offset`, at which `place` is wholly seen in a window of `height` pixels."""
    return min(max(offset, place.top + place.height - height), place.top)


def round_ticks(start: float, end: float, *, pixels: float, apart: float = 38.0) -> tuple[float, ...]:
    """Round values between two, at least `apart` pixels from each other."""
    if end <= start or pixels < apart:
        return ()
    least = (end - start) * apart / pixels
    step = next((base * 10**power for power in range(-4, 6) for base in (1, 2, 5) if base * 10**power >= least), end - start)
    first = -int(-start // step)
    return tuple(number * step for number in range(first, int(end // step) + 1))
