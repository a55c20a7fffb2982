"""The items of one section on a scene: built, then moved, dressed and named; after an edit only what it changed is built anew."""

import math
from collections.abc import Collection, Iterator, Mapping, Sequence, Set
from itertools import groupby

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QPainter, QTransform
from PySide6.QtWidgets import QGraphicsScene

from app.board.hit_test import Target, target_of
from app.board.items import LineItem, SlabItem, StillLayer, SymbolItem
from app.board.name_items import NameItems
from app.board.overlaid import Overlaid
from app.board.piece import Stack
from app.board.still_drawn import draw_fixed, draw_grid, draw_under
from app.board.swapped import Swap, otherwise_drawn, same_groups, swapped
from app.theme import Style
from core.drawing.bolt_place import bolt_places
from core.drawing.display_list import Paint
from core.drawing.extent import Extent, extent_within, extents_meet, joined_extent
from core.drawing.lines import LineClass
from core.drawing.path import DRAWN, Pose
from core.drawing.section import Placed, body_paints, placed_symbols, symbol_poses
from core.drawing.slabs import Slab, body_slabs, section_slabs, shifted
from core.model.joints import Joint
from core.model.names import BodyName, JointName, SectionName
from core.model.project import Body, Project, Section
from core.model.shapes import Point
from core.model.shift import shift_between

Poses = Mapping[BodyName, Pose]

_Line = tuple[BodyName, Pose, LineItem]
"""A body's outline besides where it stands."""

UNDER_STILL, UNDER, ENDS, GHOST, SYMBOLS = 9e3, 1e4, 1.4e4, 1.5e4, 2e4
"""Heights of what is drawn over all slabs; slabs themselves take 0, 1, 2, ... from low to high."""

EMPTY = Section(name=SectionName(""), bodies=())

SMALL = 24.0
"""Logical pixels: what reaches less far both ways would vanish under words."""


class SectionItems:
    """All items of `section`; bodies that the project hides are left out."""

    def __init__(self, scene: QGraphicsScene, section: Section, style: Style) -> None:
        self.section, self.style = EMPTY, style
        self.slabs: tuple[Slab, ...] = ()
        self.targets: tuple[Target, ...] = ()
        self.poses: dict[BodyName, Pose] = {}
        self.selected: frozenset[BodyName] = frozenset()
        self.stack = Stack(scene)
        self.names = NameItems(self, self.stack)
        self._still: list[tuple[int, list[Slab]]] | None = None
        self._reaches: dict[int, tuple[Slab, Pose, Extent | None]] = {}
        self._layers: list[StillLayer] = []
        self._numbers: dict[BodyName, list[int]] = {}
        self._movers: dict[int, tuple[SlabItem, LineItem]] = {}
        self._symbols: list[tuple[Joint, list[SymbolItem]]] = []
        self._grounded: list[bool] = []
        self._bolts: dict[JointName, Point | None] = {}
        self._ghosts: list[_Line] = []
        self._ends: list[_Line] = []
        self.end_poses: Mapping[BodyName, Collection[Pose]] = {}
        self._bodies: dict[BodyName, Body] = {}
        self._outlined: dict[BodyName, tuple[Body, tuple[Slab, ...]]] = {}
        """Of each body that has come for another: the state of it whose outlines were worked out last, and its slabs."""
        self._unit = 1.0
        self._take_whole(section)

    def take(self, section: Section) -> None:
        """Show another state of the section, at the poses there are. What is the same in both keeps its items; ghosts and ends go.

        Marks of bodies that are bolted together may stand where they were until `place_bolts`.
        """
        swap = swapped(self.section, section)
        if swap is None:
            self._take_whole(section)
        else:
            for body in swap.bodies:
                if body.name not in self._outlined:
                    self._outlined[body.name] = self._bodies[body.name], body_slabs(self._bodies[body.name])
            self.section = section
            self._bodies = {body.name: body for body in section.bodies}
            self.set_ghost(None)
            self.set_travel_ends(None)
            self._swap(swap)

    def _take_whole(self, section: Section) -> None:
        before, self.section = self.slabs, section
        self.slabs, self._outlined, self._numbers = section_slabs(section), {}, {}
        for number, slab in enumerate(self.slabs):
            self._numbers.setdefault(slab.body, []).append(number)
        self._paints = body_paints(section)
        self._bodies = {body.name: body for body in section.bodies}
        self._reaches = {id(slab): self._reaches[id(slab)] for slab in self.slabs if id(slab) in self._reaches}
        known = {id(target.slab): target for target in self.targets}
        self.targets = tuple(known.get(id(slab)) or target_of(slab) for slab in self.slabs)
        self._overlaid = Overlaid(target.disc for target in self.targets)
        changed = otherwise_drawn(before, self.slabs)
        self.poses = {name: pose for name, pose in self.poses.items() if name in self._bodies}
        self.set_ghost(None)
        self.set_travel_ends(None)
        self._take_movers()
        self._take_still()
        built = self._take_symbols()
        self.names.take(changed)
        self.dress(self.style, self.selected & self._bodies.keys())
        self._place(changed | built)

    def _swap(self, swap: Swap) -> None:
        """Let what has come take the places of what it stands for: a hand that drags one of many bodies asks for it at every move."""
        slabs, targets = list(self.slabs), list(self.targets)
        for body in swap.bodies:
            alike, by = self._slabs_like(body)
            for number, slab in zip(self._numbers.get(body.name, ()), alike, strict=not body.view.hidden):
                self._reaches.pop(id(slabs[number]), None)
                slabs[number] = shifted(slab, by)
                targets[number] = target_of(slabs[number])
                self._overlaid.put(number, targets[number].disc)
                item, under = self._movers[number]
                item.show_slab(slabs[number], like=slab, by=by)
                under.show_path(item.lines)
                self._dress_mover(item, under)
        self.slabs, self.targets = tuple(slabs), tuple(targets)
        names = {body.name for body in swap.bodies}
        self.names.forget_rooms(names)
        self._place(names | self._swap_symbols({joint.name: joint for joint in swap.joints}))

    def _slabs_like(self, body: Body) -> tuple[tuple[Slab, ...], Point]:
        """The slabs of the last state of a body whose outlines were worked out, and how far it was shifted from there, as by a hand.

        From there, so that small steps do not add up. Where more has changed they are its own.
        """
        like, slabs = self._outlined[body.name]
        shift = shift_between(like, body)
        if shift is not None:
            return slabs, shift
        self._outlined[body.name] = body, body_slabs(body)
        return self._outlined[body.name][1], (0.0, 0.0)

    def _swap_symbols(self, new: Mapping[JointName, Joint]) -> set[BodyName]:
        """The bodies whose joints have other symbols than before."""
        other: set[BodyName] = set()
        for place, (joint, items) in enumerate(self._symbols):
            if joint.name in new:
                placed = self._placed(new[joint.name])
                for item in items[len(placed) :]:
                    self.stack.remove(item)
                for item, symbol in zip(items, placed, strict=False):
                    item.dress(symbol.symbol, self.style)
                come = self._built_symbols(placed[len(items) :])
                self._symbols[place] = (new[joint.name], [*items[: len(placed)], *come])
                for item in come:
                    item.set_height(SYMBOLS + place + 1)
                other.update(joint.between)
        return other

    def place_bolts(self) -> None:
        """Put the marks of bodies that are bolted together where the state shown has them."""
        before, self._bolts = self._bolts, bolt_places(self.section)
        changed = {joint.name: joint for joint, _ in self._symbols if before.get(joint.name) != self._bolts.get(joint.name)}
        if changed:
            self._place(self._swap_symbols(changed))

    def _take_movers(self) -> None:
        """Movers are items of their own."""
        known = {id(item.slab): (item, under) for item, under in self._movers.values()}
        self._movers = {}
        for number, slab in enumerate(self.slabs):
            if not slab.fixed:
                self._movers[number] = self._made_mover(number, slab, known.pop(id(slab), None))
        for item, under in known.values():
            self.stack.remove(item)
            self.stack.remove(under)

    def _take_still(self) -> None:
        """The fixed slabs between two movers share one still layer, the lowest with the grid."""
        groups = [list(group) for fixed, group in groupby(enumerate(self.slabs), key=lambda entry: entry[1].fixed) if fixed]
        still = [(group[0][0], [slab for _, slab in group]) for group in groups]
        if self._still is not None and same_groups(still, self._still):
            return
        for layer in self._layers:
            self.stack.remove(layer)
        self._still, self._layers = still, []
        for first, slabs in still:
            if first > 0:
                self._add_layer(float(first), slabs, grid=False)
        self._add_layer(-1.0, next((slabs for first, slabs in still if first == 0), []), grid=True)
        under = StillLayer(lambda painter, to_pixels, _: draw_under(painter, to_pixels, self.slabs, self.section, self.style))
        under.set_height(UNDER_STILL)
        self.stack.add(under)
        self._layers.append(under)

    def _made_mover(self, number: int, slab: Slab, known: tuple[SlabItem, LineItem] | None) -> tuple[SlabItem, LineItem]:
        item, under = known or (SlabItem(slab, QColor()), LineItem(slab.lines, "dashed", QColor()))
        item.set_height(float(number))
        under.set_height(UNDER + number)
        if known is None:
            under.set_shown(False)
            self.stack.add(item)
            self.stack.add(under)
        return item, under

    def _dress_mover(self, item: SlabItem, under: LineItem) -> None:
        item.dress(self.paint_of(item.slab), self.style, self.line_of(item.slab))
        under.dress(QColor(self.style.ink))

    def _add_layer(self, height: float, slabs: list[Slab], *, grid: bool) -> None:
        def draw(painter: QPainter, to_pixels: QTransform, window: QRectF) -> None:
            if grid:
                draw_grid(painter, to_pixels, window, self.style)
            for slab in slabs:
                draw_fixed(painter, to_pixels, slab, self.style, line=self.line_of(slab))

        layer = StillLayer(draw, frozenset(slab.body for slab in slabs))
        layer.set_height(height)
        self.stack.add(layer)
        self._layers.append(layer)

    def _take_symbols(self) -> set[BodyName]:
        """The bodies whose joints have symbols that were built anew."""
        known = {(id(joint), grounded): items for (joint, items), grounded in zip(self._symbols, self._grounded, strict=True)}
        kept = list(self._symbols)  # no joint that comes may have the identity of one that goes
        self._symbols, self._grounded = [], []
        before, self._bolts = self._bolts, bolt_places(self.section)
        shown = {body.name for body in self.section.bodies if not body.view.hidden}
        built: set[BodyName] = set()
        for joint in self.section.joints:
            if shown.issuperset(joint.between):
                grounded = self._stands(joint)
                # Where bolted bodies have their mark, and whether they have one, goes by their outlines.
                same = self._bolts.get(joint.name) == before.get(joint.name)
                items = known.pop((id(joint), grounded), None) if same else None
                if items is None:
                    items = self._built_symbols(self._placed(joint))
                    built.update(joint.between)
                self._symbols.append((joint, items))
                for item in self._symbols[-1][1]:
                    item.set_height(SYMBOLS + len(self._symbols))
                self._grounded.append(grounded)
        for items in known.values():
            for item in items:
                self.stack.remove(item)
        del kept
        return built

    def _built_symbols(self, every: Sequence[Placed]) -> list[SymbolItem]:
        items = [SymbolItem(placed.symbol, self.style) for placed in every]
        for item in items:
            self.stack.add(item)
        return items

    def _stands(self, joint: Joint) -> bool:
        first, second = joint.between
        return self._bodies[first].fixed or self._bodies[second].fixed

    def paint_of(self, slab: Slab) -> Paint:
        """The tint of a moving body's slab; fixed bodies show the board between their hatch."""
        return self._paints[slab.body]

    def line_of(self, slab: Slab) -> LineClass:
        """Selection is line weight."""
        return "selected" if slab.body in self.selected else "wide"

    def dress(self, style: Style, selected: Collection[BodyName]) -> None:
        """Give all items their colours and lines."""
        restyled, self.style = style is not self.style, style
        self.select(selected)
        for item, under in self._movers.values():
            self._dress_mover(item, under)
        for _, _, line in (*self._ghosts, *self._ends):
            line.dress(QColor(style.ink))
        for layer in self._layers if restyled else ():
            layer.forget()
        self.names.dress(style)

    def select(self, bodies: Collection[BodyName]) -> None:
        """Draw these bodies with the heavier line, and no others. Their names follow with `NameItems.select`."""
        picked, self.selected = self.selected ^ frozenset(bodies), frozenset(bodies)
        for item, under in self._movers.values():
            if item.slab.body in picked:
                self._dress_mover(item, under)
        for layer in self._layers:
            if layer.bodies & picked:
                layer.forget()

    def pose_of(self, body: BodyName) -> Pose:
        """The pose that a body is shown at."""
        return self.poses.get(body, DRAWN)

    def set_poses(self, poses: Poses) -> None:
        """Move the items; bodies that are not named stay where they were."""
        moved = {name for name, pose in poses.items() if pose != self.pose_of(name)}
        if moved:
            self.poses.update(poses)
            self._place(moved)

    def _place(self, moved: Set[BodyName]) -> None:
        """Put the items of these bodies where they are shown."""
        numbers = [number for body in moved for number in self._numbers.get(body, ())]
        for number in numbers:
            pose = self.pose_of(self.slabs[number].body)
            for item in self._movers.get(number, ()):
                item.put(pose.x, pose.y, pose.turn)
        for number, covered in self._overlaid.told(lambda number: self.pose_of(self.slabs[number].body), numbers).items():
            if number in self._movers:
                self._movers[number][1].set_shown(covered)
        for joint, symbols in self._symbols:
            if not moved.isdisjoint(joint.between):
                for symbol, pose in zip(symbols, symbol_poses(joint, self.poses, bolt=self._bolts.get(joint.name)), strict=True):
                    symbol.put(pose.x, pose.y, -pose.turn)  # the symbol ignores the board's upward y, so its turn runs the other way
        for name, end, line in self._ends:
            if name in moved:
                line.set_shown(not _same(end, self.pose_of(name)))
        self.names.place(moved)

    def set_scale(self, pixels: float) -> None:
        """Give each symbol its strokes at `pixels` logical pixels a mm: a slot has its true length."""
        self._unit = 1.0 / pixels
        for joint, symbols in self._symbols:
            for symbol, placed in zip(symbols, self._placed(joint), strict=True):
                symbol.dress(placed.symbol, self.style)

    def placed_symbols(self) -> Iterator[tuple[Placed, ...]]:
        """The symbols of each joint as they are shown."""
        return (self._placed(joint) for joint, _ in self._symbols)

    def _placed(self, joint: Joint) -> tuple[Placed, ...]:
        bolt = self._bolts.get(joint.name)
        return placed_symbols(joint, self.poses, unit=self._unit, grounded=self._stands(joint), bolt=bolt)

    def extent_of(self, name: BodyName) -> Extent | None:
        """How far a body reaches at the pose shown, mm."""
        return joined_extent(self.slab_extent(slab) for slab in self.slabs if slab.body == name)

    def extent(self) -> Extent | None:
        """How far all that is shown reaches, mm; None for an empty section."""
        return joined_extent(self.reaches())

    def small(self, unit: float) -> list[Extent]:
        """How far those reach that words would hide, `unit` mm to a logical pixel."""
        return [reach for reach in self.reaches() if max(reach[2] - reach[0], reach[3] - reach[1]) < SMALL * unit]

    def crosses_outline(self, box: Extent) -> bool:
        """Whether a box, mm, lies over an outline at the poses shown, or over one at an end of travel."""
        near = (slab for slab in self.slabs if _over(self.slab_extent(slab), box))
        rooms = self.names.rooms
        return rooms.crosses(near, self.poses, box) or rooms.crosses_ends(self.slabs, self.ends_seen(), box)

    def symbol_places(self) -> list[Point]:
        """Where the symbols of joints stand, mm, as posed."""
        told = (symbol_poses(joint, self.poses, bolt=self._bolts.get(joint.name)) for joint, _ in self._symbols)
        return [(pose.x, pose.y) for poses in told for pose in poses]

    def reaches(self) -> Iterator[Extent]:
        """How far each slab reaches at the pose shown, mm; those without an outline are left out."""
        return (reach for slab in self.slabs if (reach := self.slab_extent(slab)) is not None)

    def slab_extent(self, slab: Slab) -> Extent | None:
        """How far a slab reaches at the pose shown, mm; kept, since most bodies stand still while it is asked again and again."""
        pose = self.pose_of(slab.body)
        known, there, reach = self._reaches.get(id(slab), (None, None, None))
        if known is not slab or there != pose:
            reach = slab.extent(pose)
            self._reaches[id(slab)] = slab, pose, reach
        return reach

    def held(self, name: BodyName) -> bool:
        """Whether the body is not to be dragged."""
        return self._bodies[name].view.held

    def boxed(self, box: Extent, *, touching: bool) -> tuple[BodyName, ...]:
        """The bodies that lie wholly inside `box` (mm), or, `touching`, whose extent meets it; in the section's order."""
        reaches = ((name, self.extent_of(name)) for name in self.names)
        taken = extents_meet if touching else extent_within
        return tuple(name for name, reach in reaches if reach is not None and taken(reach, box))

    def set_ghost(self, poses: Poses | None) -> None:
        """Show the bodies that `poses` puts elsewhere as dashed outlines there; None takes them away."""
        self._ghosts = self._lines(self._ghosts, "dashed", [(name, [pose]) for name, pose in (poses or {}).items()], GHOST)

    def set_travel_ends(self, ends: Mapping[BodyName, Collection[Pose]] | None) -> None:
        """Show bodies at the ends of their travel, but where they stand at one; None takes them away."""
        self.end_poses = ends or {}
        self._ends = self._lines(self._ends, "ends", list(self.end_poses.items()), ENDS)

    def ends_seen(self) -> dict[BodyName, tuple[Pose, ...]]:
        """Where bodies are shown at the ends of their travel."""
        return {name: tuple(end for end in ends if not _same(end, self.pose_of(name))) for name, ends in self.end_poses.items()}

    def _lines(self, old: list[_Line], line: LineClass, where: list[tuple[BodyName, Collection[Pose]]], height: float) -> list[_Line]:
        for *_, gone in old:
            self.stack.remove(gone)
        made: list[_Line] = []
        for name, poses in where:
            for pose in poses:
                for slab in self.slabs:
                    if slab.body == name:
                        item = LineItem(slab.lines, line, QColor(self.style.ink))
                        item.set_height(height)
                        item.put(pose.x, pose.y, pose.turn)
                        item.set_shown(not _same(pose, self.pose_of(name)))
                        self.stack.add(item)
                        made.append((name, pose, item))
        return made


def section_shown(project: Project | None, name: SectionName | None) -> Section:
    """The section of that name, or an empty one."""
    return next((section for section in project.sections if section.name == name), EMPTY) if project is not None else EMPTY


def _over(a: Extent | None, b: Extent | None) -> bool:
    return a is not None and b is not None and extents_meet(a, b)


def _same(a: Pose, b: Pose) -> bool:
    return math.isclose(a.turn, b.turn, abs_tol=1e-9) and math.isclose(a.x, b.x, abs_tol=1e-9) and math.isclose(a.y, b.y, abs_tol=1e-9)
