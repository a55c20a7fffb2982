"""Where has a name room among bodies and joint symbols, and whom would it seem to name? Pure; mm, as posed."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import shapely
from shapely.geometry.base import BaseGeometry

from core.drawing.display_list import Fill, Group, Item, Stroke, Text
from core.drawing.extent import Extent, edge_extent, extents_meet, joined_extent
from core.drawing.path import DRAWN, Path, Pose, Segment, moved
from core.drawing.region import region, roomiest_place
from core.drawing.section import Placed
from core.drawing.slabs import Slab
from core.model.names import BodyName
from core.model.shapes import Point

WITHIN = 0.25
"""mm by which chords may leave an arc."""

LONG = 40.0
"""Drawing units; a symbol that reaches farther is kept free along its edges only, in pieces of this length: a slot lies aslant."""

LINE = 1.0
"""Drawing units that a line of a symbol takes to each side of it."""

FAR, NEARER = 12.0, 0.5
"""Farther than this many logical pixels from its body a name must not stand nearer than this share of its way to another."""

APART = 1.5
"""No other body should be nearer to a name than this many times its own is."""

UNNAMED_APART = 2.0
"""No body that has no name of its own should be nearer than this many times: there the name seems to be its own."""

PARTS = 0.7
"""A body between a name and its own parts them where it is nearer than this share of the way."""

WIDE_BACK = 16.0
"""A body may have names of others before it where it is this many times as large as the name."""


def symbol_boxes(placed: Placed, unit: float) -> list[Extent]:
    """What a joint symbol takes of the board, mm, `unit` mm to a drawing unit."""
    turn, boxes = Pose(turn=placed.pose.turn), list[Extent]()
    for path in (path for item in placed.symbol for path in _paths(item)):
        for edge in (edge for run in moved(path, turn) for edge in run.edges):
            pieces = max(1, int(edge.length / LONG) + 1) if isinstance(edge, Segment) else 1
            boxes += [edge_extent(edge.part(piece / pieces, (piece + 1) / pieces)) for piece in range(pieces)]
    whole = joined_extent(boxes)
    if whole is not None and max(whole[2] - whole[0], whole[3] - whole[1]) <= LONG:
        boxes = [whole]
    x, y = placed.pose.x, placed.pose.y
    lined = ((low_x - LINE, low_y - LINE, high_x + LINE, high_y + LINE) for low_x, low_y, high_x, high_y in boxes)
    return [(x + low_x * unit, y + low_y * unit, x + high_x * unit, y + high_y * unit) for low_x, low_y, high_x, high_y in lined]


def _paths(item: Item) -> tuple[Path, ...]:
    """What is drawn of a symbol as lines or areas; words have no place in one."""
    match item:
        case Fill():
            return item.outlines
        case Stroke():
            return (item.path,)
        case Group():
            return tuple(path for inner in item.items for path in _paths(inner))
        case Text():
            return ()


class NameRooms:
    """Keeps the polygons of slabs from one look for places to the next."""

    def __init__(self) -> None:
        self._drawn: dict[int, tuple[Slab, BaseGeometry]] = {}
        self._symbols: list[Extent] = []

    def ready(self, slabs: Iterable[Slab]) -> None:
        """Make the polygons of slabs, so that the look for places need not make all at once."""
        for slab in slabs:
            if id(slab) not in self._drawn:
                self._drawn[id(slab)] = slab, region(slab.fills, chord=WITHIN)

    def keep_off(self, joints: Iterable[Sequence[Placed]], unit: float) -> Iterator[None]:
        """Keep names off the symbols of these joints, a joint a step; `unit` mm to a drawing unit."""
        self._symbols = []
        for symbols in joints:
            self._symbols += [box for placed in symbols for box in symbol_boxes(placed, unit)]
            yield

    def among(
        self,
        slabs: Sequence[Slab],
        poses: Mapping[BodyName, Pose],
        *,
        pixels: float,
        small: Sequence[Extent] = (),
        ends: Mapping[BodyName, Collection[Pose]] | None = None,
    ) -> "Around":
        """What stands around names now, `pixels` logical pixels a mm; slabs from low to high.

        small: bodies that names would hide. ends: where bodies are drawn thin at the ends of their travel.
        """
        self._drawn = {id(slab): self._drawn[id(slab)] for slab in slabs if id(slab) in self._drawn}
        self.ready(slabs)
        return Around(slabs, poses, (*self._symbols, *small), pixels, self._drawn, ends or {})

    def crosses(self, slabs: Iterable[Slab], poses: Mapping[BodyName, Pose], box: Extent) -> bool:
        """Whether a box, mm, lies over an outline of these slabs as posed."""
        slabs = tuple(slabs)
        self.ready(slabs)
        return any(_cuts(self._drawn[id(slab)][1], poses.get(slab.body, DRAWN), box) for slab in slabs)

    def crosses_ends(self, slabs: Iterable[Slab], ends: Mapping[BodyName, Collection[Pose]], box: Extent) -> bool:
        """Whether a box, mm, lies over an outline of these slabs at an end of their travel."""
        thin = tuple(slab for slab in slabs if slab.body in ends)
        self.ready(thin)
        return any(_cuts(self._drawn[id(slab)][1], pose, box) for slab in thin for pose in ends[slab.body])


@dataclass(frozen=True, slots=True)
class Around:
    """Slabs as posed, from low to high, and the boxes of joint symbols and of small bodies."""

    slabs: Sequence[Slab]
    poses: Mapping[BodyName, Pose]
    symbols: Sequence[Extent]
    pixels: float
    _drawn: dict[int, tuple[Slab, BaseGeometry]]
    ends: Mapping[BodyName, Collection[Pose]] = field(default_factory=dict)
    _posed: dict[int, BaseGeometry] = field(default_factory=dict)

    def room(self, body: BodyName, size: tuple[float, float], taken: Sequence[Extent]) -> Point | None:
        """The middle of the roomiest place for a box of `size` mm on what is seen of a body, off symbols and `taken`; None for none."""
        reach = self._reach(body)
        if reach is None or reach[2] - reach[0] < size[0] or reach[3] - reach[1] < size[1]:
            return None
        return roomiest_place(self._bare(body, reach, off=(*self.symbols, *taken)), size, within=1.0 / self.pixels)

    def _bare(self, body: BodyName, reach: Extent, *, off: Sequence[Extent]) -> BaseGeometry:
        """What is seen of a body that reaches so far, without these boxes."""
        boxes = [shapely.box(*box) for box in off if extents_meet(box, reach)]
        return self._seen(body, reach).difference(shapely.union_all(boxes))

    def _reach(self, body: BodyName) -> Extent | None:
        own, _ = self._own_and_others(body)
        return joined_extent(slab.bounds for slab in own)

    def _seen(self, body: BodyName, within: Extent) -> BaseGeometry:
        """What no other body covers of this one, about a box."""
        own = [number for number, slab in enumerate(self.slabs) if slab.body == body]
        over = [number for number in range(own[0] + 1, len(self.slabs)) if self.slabs[number].body != body]
        hidden = [self._at(number) for number in over if extents_meet(self._at(number).bounds, within)]
        return shapely.union_all([self._at(number) for number in own]).difference(shapely.union_all(hidden))

    def spot(self, body: BodyName, taken: Sequence[Extent]) -> Point | None:
        """A place well inside what is seen of a body, off `taken`; None where nothing is."""
        reach = self._reach(body)
        free = self._bare(body, reach, off=taken) if reach is not None else shapely.Point()
        if free.is_empty:
            return None
        (x, y), _ = shapely.maximum_inscribed_circle(free, tolerance=1.0 / self.pixels).coords
        return float(x), float(y)

    def shows_line(self, box: Extent) -> bool:
        """Whether a name there lies over an outline that is seen: nothing higher covers it."""
        name = shapely.box(*box)
        near = [self._at(number) for number, _ in enumerate(self.slabs) if extents_meet(self._at(number).bounds, box)]
        for number, slab in enumerate(near):
            line = slab.boundary.intersection(name)
            if not line.is_empty and not line.difference(shapely.union_all(near[number + 1 :])).is_empty:
                return True
        return False

    def run_over(self, body: BodyName, start: Point, end: Point) -> tuple[int, int]:
        """How many outlines a straight line crosses: of other bodies, and thin ones at ends of travel."""
        line = shapely.LineString([start, end])
        others = (number for number, slab in enumerate(self.slabs) if slab.body != body)
        here = {self.slabs[number].body for number in others if _edge_meets(self._at(number), line)}
        thin = ((slab, pose) for slab in self.slabs for pose in self.ends.get(slab.body, ()))
        there = {(slab.body, pose) for slab, pose in thin if _edge_meets(self._drawn[id(slab)][1], _unplaced(pose, (start, end)))}
        return len(here), len(there)

    def runs_through(self, start: Point, end: Point, box: Extent) -> bool:
        """Whether a straight line passes a box."""
        return bool(shapely.LineString([start, end]).intersects(shapely.box(*box)))

    def misleads(self, body: BodyName, box: Extent) -> bool:
        """Whether a name there, off its body, would be taken for that of another that is much nearer."""
        own = self._off(body, box)
        return own * self.pixels > FAR and self._another(body, box, within=own * NEARER)

    def doubtful(self, body: BodyName, box: Extent) -> bool:
        """Whether another body is about as near to a name there as its own."""
        return self._another(body, box, within=self._off(body, box) * APART)

    def parted(self, body: BodyName, box: Extent) -> bool:
        """Whether another body lies between a name there and its own, clearly nearer to the name."""
        name, (own, others) = shapely.box(*box), self._own_and_others(body)
        if not own:
            return False
        way = shapely.shortest_line(name, min(own, key=name.distance))
        return any(other.intersects(way) and name.distance(other) < PARTS * way.length for other in others)

    def _own_and_others(self, body: BodyName) -> tuple[list[BaseGeometry], list[BaseGeometry]]:
        known = [(slab.body == body, self._at(number)) for number, slab in enumerate(self.slabs)]
        known = [(own, slab) for own, slab in known if not slab.is_empty]
        return [slab for own, slab in known if own], [slab for own, slab in known if not own]

    def unsure(self, body: BodyName, box: Extent, named: Collection[BodyName]) -> bool:
        """Whether a body that is not among those `named` is so near that a name there might be taken for its."""
        return self._another(body, box, within=self._off(body, box) * UNNAMED_APART, besides=named)

    def _off(self, body: BodyName, box: Extent) -> float:
        name = shapely.box(*box)
        return min((name.distance(self._at(number)) for number, slab in enumerate(self.slabs) if slab.body == body), default=0.0)

    def _another(self, body: BodyName, box: Extent, *, within: float, besides: Collection[BodyName] = ()) -> bool:
        name, around = shapely.box(*box), (box[0] - within, box[1] - within, box[2] + within, box[3] + within)
        known = {body, *besides}
        others = (self._at(number) for number, slab in enumerate(self.slabs) if slab.body not in known)
        return any(extents_meet(other.bounds, around) and name.distance(other) < within for other in others)

    def holds(self, body: BodyName, box: Extent) -> bool:
        """Whether a box lies as a whole on what is seen of a body."""
        return self._reach(body) is not None and self._seen(body, box).covers(shapely.box(*box))

    def interrupts(self, box: Extent) -> bool:
        """Whether a name there lies over the thin outline of a body at an end of its travel."""
        thin = ((self._drawn[id(slab)][1], pose) for slab in self.slabs for pose in self.ends.get(slab.body, ()))
        return any(_cuts(drawn, pose, box) for drawn, pose in thin)

    def crosses(self, box: Extent) -> bool:
        """Whether a name there lies over an outline."""
        name = shapely.box(*box)
        near = (self._at(number) for number, _ in enumerate(self.slabs) if extents_meet(self._at(number).bounds, box))
        return any(body.intersects(name) and not body.covers(name) for body in near)

    def backs(self, body: BodyName, box: Extent) -> bool:
        """Whether all that lies under a name there is one large fixed body that is drawn below its own, and no other is nearer."""
        lowest = next((number for number, slab in enumerate(self.slabs) if slab.body == body), 0)
        name = shapely.box(*box)
        met = (number for number, _ in enumerate(self.slabs) if extents_meet(self._at(number).bounds, box))
        under = [number for number in met if self._at(number).intersects(name)]
        if len({self.slabs[number].body for number in under}) != 1 or max(under) >= lowest:
            return False
        back, its = self.slabs[under[0]], shapely.union_all([self._at(number) for number in under])
        if not (back.fixed and its.covers(name) and its.area >= WIDE_BACK * name.area):
            return False
        return not self._another(body, box, within=self._off(body, box), besides=(back.body,))

    def _at(self, number: int) -> BaseGeometry:
        if number not in self._posed:
            slab = self.slabs[number]
            self._posed[number] = _moved(self._drawn[id(slab)][1], self.poses.get(slab.body, DRAWN))
        return self._posed[number]


def _cuts(drawn: BaseGeometry, pose: Pose, box: Extent) -> bool:
    """Whether the outline of a body passes through a box, which is taken back to where the body is drawn."""
    corners = ((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3]))
    there = shapely.Polygon([pose.unplace(corner) for corner in corners])
    return drawn.intersects(there) and not drawn.covers(there)


def _edge_meets(body: BaseGeometry, line: BaseGeometry) -> bool:
    """Whether a line crosses the outline of a body; one without area has none."""
    return not body.is_empty and bool(body.boundary.intersects(line))


def _unplaced(pose: Pose, ends: tuple[Point, Point]) -> BaseGeometry:
    """A straight line taken back to where the body is drawn."""
    return shapely.LineString([pose.unplace(end) for end in ends])


def _moved(drawn: BaseGeometry, pose: Pose) -> BaseGeometry:
    if pose == DRAWN:
        return drawn
    (ax, ay), (bx, by), (cx, cy) = (pose.place(point) for point in ((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)))
    return shapely.transform(drawn, lambda points: points @ [[bx - ax, by - ay], [cx - ax, cy - ay]] + [ax, ay])
