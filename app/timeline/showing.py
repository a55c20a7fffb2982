"""What the interference timeline shows at one moment, as one frozen record that painting and hit-testing read."""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from PySide6.QtGui import QFontMetricsF

from app import theme
from app.theme import Style
from app.timeline import layout
from app.timeline.layout import Band, Place
from core.model.names import DriveName
from core.model.project import Drive, Project
from core.sweep.timeline import Row, Timeline, heat_steps, judged


@dataclass(frozen=True)
class Showing:
    """size: pixels. ratio: device pixels to one. here: the selected pair's gap at the pose shown, mm, None where it is not known.

    column: the drive value that the keyboard or the pointer is at, shown as a ghost; None where there is none. fresh: the rows
    are of the project as it is now and proved; otherwise cells are pale. before: the rows of the state before the last edit.
    unchecked: how many pairs are not checked. outdated: the rows are of the state before the edit that goes on; they are pale.
    bare: the answer is there and no pair was to be checked.
    """

    style: Style
    size: tuple[int, int]
    ratio: float = 1.0
    project: Project | None = None
    timeline: Timeline = field(default_factory=Timeline)
    before: Timeline | None = None
    selected: int | None = None
    drive: DriveName | None = None
    values: Mapping[DriveName, float] = field(default_factory=dict)
    here: float | None = None
    column: tuple[DriveName, float] | None = None
    offset: int = 0
    headings: Mapping[str, str] = field(default_factory=dict)
    unchecked: int = 0
    outdated: bool = False
    bare: bool = False

    def stands_as(self, other: "Showing") -> bool:
        """Whether only what moves with the pose or the pointer differs: the cursor, the gap here, the ghost's column."""
        same = self.style is other.style and self.timeline is other.timeline and self.before is other.before
        return same and self.still == other.still

    def looks_as(self, other: "Showing") -> bool:
        """Whether nothing differs that is painted."""
        moving = (self.values, self.here, self.column) == (other.values, other.here, other.column)
        return moving and self.headings == other.headings and self.stands_as(other)

    @property
    def still(self) -> tuple[object, ...]:
        """What else is painted of all that stands while a drive runs."""
        sections = len(self.project.sections) if self.project else 0
        told = (self.unchecked, self.outdated, self.bare)
        return (self.size, self.ratio, self.selected, self.drive, self.offset, told, self.drives, sections)

    def taking_over(self, other: "Showing") -> "Showing":
        """The same, with what `other` has worked out already where that hangs on nothing that differs."""
        names = self.timeline is other.timeline and self.many_sections == other.many_sections
        stands = {
            "names_width": names,
            "bands": names and (self.size, self.drive, self.drives) == (other.size, other.drive, other.drives),
            "places": self.timeline is other.timeline and (self.selected, self.headings) == (other.selected, other.headings),
        }
        self.__dict__.update({name: other.__dict__[name] for name, same in stands.items() if same and name in other.__dict__})
        return self

    @property
    def many_sections(self) -> bool:
        """Whether a pair's name must tell its section."""
        return self.project is not None and len(self.project.sections) > 1

    @cached_property
    def bands(self) -> tuple[Band, ...]:
        """The columns, drive by drive."""
        return layout.bands(self.drives, self.drive, left=self.bands_left, right=self.bands_right)

    @property
    def drives(self) -> tuple[Drive, ...]:
        """The drives of the project."""
        return self.project.drives if self.project else ()

    @property
    def bands_left(self) -> int:
        """The pixel at which the columns begin."""
        return layout.MARGIN + self.names_width

    @cached_property
    def names_width(self) -> int:
        """Pixels for the names of pairs: as many as the longest takes, within bounds."""
        metrics = QFontMetricsF(theme.font(theme.DATA, weight=theme.SEMIBOLD))
        # Few bodies make many pairs: each part of a name is measured once.
        parts = {part for row in self.timeline.rows for part in self._parts_of(row)}
        advance = {part: metrics.horizontalAdvance(part) for part in parts}
        longest = max((sum(advance[part] for part in self._parts_of(row)) for row in self.timeline.rows), default=0.0)
        return min(max(layout.LEAST_NAMES, math.ceil(longest) + layout.NAMES_APART), layout.MOST_NAMES)

    def name_of(self, row: Row) -> str:
        """A pair by its bodies, and by its section where there are several."""
        return "".join(self._parts_of(row))

    def _parts_of(self, row: Row) -> tuple[str, ...]:
        first, second = row.between
        pair = (first, " \N{MIDDLE DOT} ", second)
        return (f"{row.section}: ", *pair) if self.many_sections else pair

    @property
    def together_left(self) -> int:
        """The pixel at which the column of the combined sweep begins."""
        return self.size[0] - layout.PANEL_WIDTH - 12 - layout.TOGETHER_WIDTH

    @property
    def bands_right(self) -> int:
        """The pixel at which the columns end."""
        return self.together_left - 8

    @property
    def columns_left(self) -> int:
        """The pixel at which the figures at the right begin."""
        return self.size[0] - layout.PANEL_WIDTH + layout.MARGIN

    @cached_property
    def places(self) -> tuple[Place, ...]:
        """The rows and dividers, from the top of the stack."""
        return layout.stacked([row.group for row in self.timeline.rows], self.selected, dict(self.headings))

    @property
    def rows_top(self) -> int:
        """The pixel under the heads."""
        return layout.HEAD_HEIGHT

    @property
    def rows_bottom(self) -> int:
        """The pixel at which the foot begins."""
        return self.size[1] - layout.FOOT_HEIGHT

    @property
    def stack_height(self) -> int:
        """The height of all rows, pixels."""
        return self.places[-1].top + self.places[-1].height if self.places else 0

    @property
    def most_offset(self) -> int:
        """The largest scroll offset."""
        return max(0, self.stack_height - (self.rows_bottom - self.rows_top))

    @property
    def row(self) -> Row | None:
        """The selected row."""
        rows = self.timeline.rows
        return rows[self.selected] if self.selected is not None and self.selected < len(rows) else None

    def visible(self) -> tuple[tuple[Place, int], ...]:
        """The places seen at least in part, with their top in the widget; not one of which only a sliver would show at the foot."""
        first = max(bisect_right(self.places, self.offset, key=lambda place: place.top) - 1, 0)
        last = self._first_below()
        seen = [place for place in self.places[first:last] if place.top + place.height > self.offset]
        return tuple((place, place.top - self.offset + self.rows_top) for place in seen)

    def hidden_from(self) -> int:
        """The first of the rows that begin below the foot; the number of rows where none does."""
        below = (place.row for place in self.places[self._first_below() :] if place.row is not None)
        return next(below, len(self.timeline.rows))

    def _first_below(self) -> int:
        """The first of the places that are hidden below the foot, or as good as hidden."""
        bottom = self.offset + self.rows_bottom - self.rows_top
        return bisect_left(self.places, bottom - layout.SLIVER, key=lambda place: place.top)

    def open_band(self) -> Band | None:
        """The band of the drive in hand."""
        return next((band for band in self.bands if band.opened), self.bands[0] if self.bands else None)

    def steps(self, row: Row, band: Band) -> np.ndarray:
        """The heat step of every device column of a band, (n,); all 0 where the drive does not move the pair."""
        edges = np.linspace(band.start, band.end, max(1, round(band.width * self.ratio)) + 1)
        return heat_steps(judged(row, band.drive, edges), row.required)
