"""The names of a section's bodies on the board: each where it has room at the poses shown, some led to their bodies by a line."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from functools import partial
from typing import Protocol

import numpy as np
from PySide6.QtGui import QColor

from app.board.hit_test import Target, any_at, hit_test
from app.board.items import LineItem, NameItem
from app.board.led_names import led_names
from app.board.name_rooms import NameRooms
from app.board.names import NamePlace, Wanted, name_places
from app.board.piece import Stack
from app.theme import Style
from core.drawing.extent import Extent, extent_within, extents_meet
from core.drawing.path import Path, Pose, circle, moved, polyline
from core.drawing.region import widest_place
from core.drawing.section import Placed
from core.drawing.slabs import Slab
from core.model.names import BodyName
from core.model.shapes import Point

LEADERS, NAMES = 2.9e4, 3e4
"""Heights over all else that is drawn of a section."""

_DOT = 0.8
"""Logical pixels: the radius, without its line, of the dot in which a leader ends on its body."""

_SEEN_WALL = 5.0
"""Logical pixels; a thinner wall may lie under a name."""

_NAME_PLACE_WITHIN = 0.25
"""mm; how exactly the widest place of a body is looked for."""


class Bodies(Protocol):
    """The bodies as they are shown, which the names ask for."""

    style: Style
    slabs: tuple[Slab, ...]
    targets: tuple[Target, ...]
    poses: dict[BodyName, Pose]
    selected: frozenset[BodyName]

    def pose_of(self, body: BodyName) -> Pose:
        """The pose that a body is shown at."""

    def extent_of(self, name: BodyName) -> Extent | None:
        """How far a body reaches at the pose shown, mm."""

    def small(self, unit: float) -> list[Extent]:
        """How far those reach that words would hide, `unit` mm to a logical pixel."""

    def slab_extent(self, slab: Slab) -> Extent | None:
        """How far a slab reaches at the pose shown, mm."""

    def placed_symbols(self) -> Iterable[Sequence[Placed]]:
        """The symbols of each joint as they are shown."""


class NameItems:
    """Labels, and the lines that lead some of them; what room bodies have is kept from one look to the next."""

    def __init__(self, bodies: Bodies, stack: Stack) -> None:
        self._bodies, self._stack = bodies, stack
        self.rooms = NameRooms()
        self._labels: dict[BodyName, tuple[NameItem, Point]] = {}
        self._leaders: dict[BodyName, LineItem] = {}
        self._widest: dict[BodyName, tuple[Point, float] | None] = {}
        self._free: dict[BodyName, tuple[tuple[Point, float] | None, bool]] = {}

    def __iter__(self) -> Iterator[BodyName]:
        return iter(self._labels)

    def shown(self) -> dict[BodyName, NameItem]:
        """The names that are seen."""
        return {name: label for name, (label, _) in self._labels.items() if label.shown}

    def take(self, changed: Collection[BodyName]) -> None:
        """Have a label for each body there is now; `changed`: those drawn otherwise than before."""
        self.forget_rooms(changed)
        known, self._labels = self._labels, {}
        for name in dict.fromkeys(slab.body for slab in self._bodies.slabs):
            self._labels[name] = known.pop(name) if name in known else (self._built(name), (0.0, 0.0))
        for name, (label, _) in known.items():
            self._stack.remove(label)
            self._widest.pop(name, None)
            self._lead(name, None)

    def forget_rooms(self, names: Collection[BodyName]) -> None:
        """These bodies are drawn otherwise."""
        for name in names:
            self._widest.pop(name, None)

    def _built(self, name: BodyName) -> NameItem:
        label = NameItem(name, self._bodies.style)
        label.set_height(NAMES)
        label.set_shown(False)
        self._stack.add(label)
        return label

    def dress(self, style: Style) -> None:
        """Give names and leaders their look."""
        self.select()
        for leader in self._leaders.values():
            leader.dress(QColor(style.ink))

    def select(self) -> None:
        """Write the names of the bodies picked stronger than all others."""
        for name, (label, _) in self._labels.items():
            label.dress(self._bodies.style, strong=name in self._bodies.selected)

    def place(self, moved_bodies: Collection[BodyName]) -> None:
        """Have names and leaders go with bodies that have moved."""
        self._free.clear()
        for name in moved_bodies & self._labels.keys():
            label, anchor = self._labels[name]
            if label.shown:
                pose = self._bodies.pose_of(name)
                label.put(*pose.place(anchor))
                if name in self._leaders:
                    self._leaders[name].put(pose.x, pose.y, pose.turn)

    def look_for_rooms(self) -> Iterator[None]:
        """Find where each name has room at the poses shown, a body a step, so that `show` need not do it all at once."""
        for name in self._labels:
            self._free_room(name)
            self.rooms.ready(slab for slab in self._bodies.slabs if slab.body == name)
            yield

    def show(
        self,
        *,
        pixels: float,
        window: Extent,
        must: Collection[BodyName],
        taken: Sequence[Extent],
        ends: Mapping[BodyName, Collection[Pose]],
    ) -> Iterator[None]:
        """Give each name its place at the poses shown, a name a step; they show all at once after the last.

        window: what of the section is seen, mm; a name beside its body stands wholly in it. must: bodies whose names are
        shown whatever they cover. taken: boxes to keep free, mm. ends: where bodies are drawn at the ends of their travel.
        """
        bodies, unit = self._bodies, 1.0 / pixels
        wanted: list[Wanted] = []
        for name in self._labels:
            if (want := self._wanted(name, must=name in must)) is not None:
                wanted.append(want)
            yield
        places: dict[BodyName, NamePlace] = {}
        yield from self.rooms.keep_off(bodies.placed_symbols(), unit)
        around = self.rooms.among(bodies.slabs, dict(bodies.poses), pixels=pixels, small=bodies.small(unit), ends=ends)
        off = partial(self._covers, window, unit)
        for found in name_places(wanted, pixels=pixels, covers=off, taken=taken, around=around, window=window):
            if found is not None:
                places[found.body] = found
            yield
        for found in led_names(wanted, places, pixels=pixels, window=window, covers=off, taken=taken, around=around):
            if found is not None:
                places[found.body] = found
            yield
        for name in self._labels:
            self._show_at(name, places.get(name), unit)

    def _show_at(self, name: BodyName, there: NamePlace | None, unit: float) -> None:
        label, _ = self._labels[name]
        label.set_shown(there is not None)
        self._lead(name, None)
        if there is not None:
            label.put(*there.at)
            pose = self._bodies.pose_of(name)
            self._labels[name] = (label, pose.unplace(there.at))
            if there.lead is not None:
                start, spot = (pose.unplace(point) for point in there.lead)
                self._lead(name, (polyline(start, spot), circle(spot, _DOT * unit)))

    def _lead(self, name: BodyName, path: Path | None) -> None:
        """Draw the leader of a name, given as its body is drawn; None takes it away."""
        gone = self._leaders.pop(name, None)
        if gone is not None:
            self._stack.remove(gone)
        if path is not None:
            leader, pose = LineItem(path, "narrow", QColor(self._bodies.style.ink)), self._bodies.pose_of(name)
            leader.set_height(LEADERS)
            leader.put(pose.x, pose.y, pose.turn)
            self._stack.add(leader)
            self._leaders[name] = leader

    def _covers(self, window: Extent, unit: float, box: Extent) -> bool:
        """Whether a name's box leaves the window or lies over any body: looked at so densely that no wall worth seeing slips between."""
        if not extent_within(box, window):
            return True
        low_x, low_y, high_x, high_y = box
        xs, ys = (
            np.linspace(low, high, 2 + int((high - low) / (_SEEN_WALL * unit))).tolist() for low, high in ((low_x, high_x), (low_y, high_y))
        )
        points = [(x, y) for x in xs for y in ys]
        return any_at(self._bodies.targets, self._bodies.poses, np.array(points))

    def _wanted(self, name: BodyName, *, must: bool) -> Wanted | None:
        label, _ = self._labels[name]
        posed, covered = self._free_room(name)
        reach = self._bodies.extent_of(name)
        return Wanted(name, posed, reach, label.width, label.tall, must=must, beside=not covered) if reach is not None else None

    def _free_room(self, name: BodyName) -> tuple[tuple[Point, float] | None, bool]:
        """The widest place of a body, mm, posed, that nothing lies over, and whether something lies over its widest."""
        if name not in self._free:
            bodies, pose, room = self._bodies, self._bodies.pose_of(name), self._room(name)
            posed = (pose.place(room[0]), room[1]) if room is not None else None
            top = hit_test(bodies.targets, bodies.poses, posed[0], tolerance=0.0) if posed is not None else None
            covered = top is not None and top.body != name
            self._free[name] = (self._uncovered_room(name) if covered else posed, covered)
        return self._free[name]

    def _uncovered_room(self, name: BodyName) -> tuple[Point, float] | None:
        """The widest place, mm, posed, that nothing lies over."""
        bodies = self._bodies
        own = [number for number, slab in enumerate(bodies.slabs) if slab.body == name]
        fills = [moved(path, bodies.pose_of(name)) for number in own for path in bodies.slabs[number].fills]
        reach = bodies.extent_of(name)
        over = (slab for slab in bodies.slabs[own[0] + 1 :] if slab.body != name)
        near = [slab for slab in over if (its := bodies.slab_extent(slab)) is not None and reach is not None and extents_meet(its, reach)]
        above = [moved(path, bodies.pose_of(slab.body)) for slab in near for path in slab.fills]
        return widest_place(fills, within=_NAME_PLACE_WITHIN, without=above)

    def _room(self, name: BodyName) -> tuple[Point, float] | None:
        if name not in self._widest:
            fills = [path for slab in self._bodies.slabs if slab.body == name for path in slab.fills]
            self._widest[name] = widest_place(fills, within=_NAME_PLACE_WITHIN)
        return self._widest[name]
