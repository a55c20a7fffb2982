"""What the slabs of a section look like where they stand: drawn once for all figures in which they stand there alike."""

from collections.abc import Callable, Iterable, Mapping
from typing import Any, TypeVar

from core.drawing.centre_lines import centre_lines
from core.drawing.display_list import DisplayList, Fill, Item, Paint, Stroke
from core.drawing.extent import Extent, joined_extent
from core.drawing.hatch import CUT_ANGLE, hatch, hatch_path
from core.drawing.lines import HATCH_PITCH
from core.drawing.path import DRAWN, Path, Pose, moved
from core.drawing.sheet import put
from core.drawing.slabs import Slab
from core.model.names import BodyName
from core.model.project import Body
from core.model.shapes import Point

Made = TypeVar("Made")


class Standing:
    """Held by whoever draws the same slabs several times; what stands the same in two drawings is then the same object in both.

    Writers that know paths by identity write such a path once.
    """

    def __init__(self, slabs: tuple[Slab, ...]) -> None:
        self.slabs = slabs
        self._known: dict[tuple[Any, ...], Any] = {}
        self._held: list[object] = []

    def extent(self, poses: Mapping[BodyName, Pose]) -> Extent | None:
        """How far the slabs reach at `poses` (those not named: as drawn), mm; None where there are none."""
        return joined_extent(self._extent(number, poses.get(slab.body, DRAWN)) for number, slab in enumerate(self.slabs))

    def slab(self, number: int, pose: Pose, paint: Paint, *, unit: float, selected: bool) -> list[Item]:
        """A slab's fill, its hatch where it is fixed, and its outline."""
        slab = self.slabs[number]
        fills: tuple[Path, ...] = self._of(("fills", number, pose), lambda: tuple(moved(path, pose) for path in slab.fills))
        items: list[Item] = [self._of(("fill", number, pose, paint), lambda: Fill(fills, paint))]
        if slab.fixed:
            items.append(self._of(("hatch", number, pose, unit), lambda: _hatched(fills, unit)))
        return [*items, Stroke(self._lines(number, pose), "selected" if selected else "wide")]

    def dashed(self, number: int, pose: Pose) -> Item:
        """A slab's outline as it is drawn where it lies underneath."""
        return Stroke(self._lines(number, pose), "dashed")

    def centre_lines(self, body: Body, *, unit: float) -> DisplayList:
        """The centre lines of a fixed body."""
        return self._of(("centre", body, unit), lambda: centre_lines(body, unit=unit))

    def placed(self, items: Iterable[Item], *, scale: float, at: Point) -> DisplayList:
        """The items on paper, see `core.drawing.sheet.placed`."""
        pose = Pose(0.0, *at)
        return tuple(self._put(item, pose, scale) for item in items)

    def _extent(self, number: int, pose: Pose) -> Extent | None:
        return self._of(("extent", number, pose), lambda: self.slabs[number].extent(pose))

    def _put(self, item: Item, pose: Pose, scale: float) -> Item:
        match item:
            case Fill():
                return self._once(item, (pose, scale), lambda: put(item, pose, scale))
            case Stroke():
                path = self._once(item.path, (pose, scale), lambda: moved(item.path, pose, scale))
                return Stroke(path, item.line, item.paint)
        return put(item, pose, scale)

    def _lines(self, number: int, pose: Pose) -> Path:
        return self._of(("lines", number, pose), lambda: moved(self.slabs[number].lines, pose))

    def _once(self, of: object, how: tuple[Any, ...], make: Callable[[], Made]) -> Made:
        """The same, known by the identity of what it is made of, which is held so that no other object can take it over."""
        key = (id(of), *how)
        if key not in self._known:
            self._held.append(of)
        return self._of(key, make)

    def _of(self, key: tuple[Any, ...], make: Callable[[], Made]) -> Made:
        if key not in self._known:
            self._known[key] = make()
        made: Made = self._known[key]
        return made


def _hatched(fills: tuple[Path, ...], unit: float) -> Item:
    return Stroke(hatch_path(hatch(fills, angle=CUT_ANGLE, pitch=HATCH_PITCH * unit)), "narrow", "quiet")
