"""A section at a pose as one display list: for pictures, reports and templates; the board draws the same parts live."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from core.drawing.bolt_place import bolt_places
from core.drawing.callouts import callouts
from core.drawing.detail import overlap_items, spot_of
from core.drawing.dimension import LETTER_WIDTH
from core.drawing.display_list import DisplayList, Item, Paint, Text, Tint
from core.drawing.extent import Extent
from core.drawing.gap_mark import GapMark, around_symbols, gap_dimension
from core.drawing.path import DRAWN, Pose, moved
from core.drawing.region import widest_place
from core.drawing.sheet import put
from core.drawing.slabs import Slab, section_slabs
from core.drawing.standing import Standing
from core.drawing.symbols import joint_symbol, slot_symbol
from core.model.joints import Bolted, Joint, PinSlot, Pivot, Slide
from core.model.names import BodyName
from core.model.project import Section
from core.model.shapes import Point

Poses = Mapping[BodyName, Pose]

NAME_SIZE = 13.0

_DETAIL_RADIUS = 108.0

_SYMBOL_ROOM = 9.0
"""Radius of what names leave free about a pin, drawing units."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """A display list and how far the section itself reaches, mm; `extent` is None for a section without shapes."""

    items: DisplayList
    extent: Extent | None


def draw_section(
    section: Section,
    poses: Poses,
    *,
    unit: float,
    selected: Collection[BodyName] = (),
    mark: GapMark | None = None,
    names: bool = True,
    symbols: bool = True,
    called: bool = False,
    standing: Standing | None = None,
) -> Drawing:
    """Draw `section` with its bodies at `poses` (those not named: as drawn), `unit` mm of it to a drawing unit.

    Bodies that the project hides are left out. Lowest first; then what lies underneath, dashed; centre lines, joint
    symbols (unless `symbols` is off), names, the gap dimension. An empty section gives an empty list. standing: of the
    section's slabs, where several drawings are made of it.
    """
    standing = Standing(section_slabs(section)) if standing is None else standing
    slabs = standing.slabs
    looks = body_paints(section)
    items: list[Item] = []
    for number, slab in enumerate(slabs):
        items += standing.slab(number, poses.get(slab.body, DRAWN), looks[slab.body], unit=unit, selected=slab.body in selected)
    for number, slab in enumerate(slabs[:-1]):  # where nothing lies over it, its own wide line hides the dashes
        items.append(standing.dashed(number, poses.get(slab.body, DRAWN)))
    shown = {slab.body for slab in slabs}
    items += [line for body in section.bodies if body.fixed and body.name in shown for line in standing.centre_lines(body, unit=unit)]
    fixed = {body.name for body in section.bodies if body.fixed}
    bolts = bolt_places(section) if symbols else {}
    for joint in section.joints:
        if symbols and shown.issuperset(joint.between):
            bolt = bolts.get(joint.name)
            placed = placed_symbols(joint, poses, unit=unit, grounded=not fixed.isdisjoint(joint.between), bolt=bolt)
            items += [put(item, symbol.pose, unit) for symbol in placed for item in symbol.symbol]
    if mark is not None:
        pins = [at for at, _ in _symbol_places(section, poses, shown, unit=unit)] if symbols else []
        items += _gap(mark, slabs, poses, unit=unit, off=around_symbols(pins, unit=unit))
    if names and called:
        items += callouts(slabs, poses, unit=unit, keep_off=_symbol_places(section, poses, shown, unit=unit))
    elif names:
        items += [name for body in section.bodies if (name := _name(body.name, slabs, poses, unit=unit)) is not None]
    return Drawing(tuple(items), standing.extent(poses))


def _symbol_places(section: Section, poses: Poses, shown: Collection[BodyName], *, unit: float) -> list[tuple[Point, float]]:
    """Circles, mm, that the symbols of joints take."""
    bolts = bolt_places(section)
    joints = [(joint, bolts.get(joint.name)) for joint in section.joints]
    seen = [(joint, bolt) for joint, bolt in joints if set(joint.between).issubset(shown)]
    return [((pose.x, pose.y), _SYMBOL_ROOM * unit) for joint, bolt in seen for pose in symbol_poses(joint, poses, bolt=bolt)]


def body_paints(section: Section) -> dict[BodyName, Paint]:
    """The paint of each body: the board's own for the bay, a cool tint for those that move, by name or by their order."""
    moving = [body.name for body in section.bodies if not body.fixed]
    return {body.name: "board" if body.fixed else Tint(body.view.colour, moving.index(body.name)) for body in section.bodies}


@dataclass(frozen=True, slots=True)
class Placed:
    """A symbol in drawing units about its own origin, and where that stands: mm and degrees in `pose`."""

    symbol: DisplayList
    pose: Pose


def placed_symbols(joint: Joint, poses: Poses, *, unit: float, grounded: bool, bolt: Point | None = None) -> tuple[Placed, ...]:
    """The symbols of a joint at `poses`: upright for a pivot and for bolted bodies, along its direction for the others.

    A pin in a slot gives two: the slot, which goes with its body, and the pin over it. bolt: where the mark of bolted bodies
    stands as drawn, from `bolt_place`; they have none without it.
    """
    slot = (slot_symbol(joint, unit=unit),) if isinstance(joint, PinSlot) else ()
    symbols = (*slot, joint_symbol(joint, grounded=grounded))
    return tuple(Placed(symbol, pose) for symbol, pose in zip(symbols, symbol_poses(joint, poses, bolt=bolt), strict=False))


def symbol_poses(joint: Joint, poses: Poses, *, bolt: Point | None = None) -> tuple[Pose, ...]:
    """Where the symbols that `placed_symbols` gives stand, in the same order."""
    reference, moving = (poses.get(body, DRAWN) for body in joint.between)
    match joint:
        case Bolted():
            return (Pose(0.0, *moving.place(bolt)),) if bolt is not None else ()
        case Pivot():
            return (Pose(0.0, *moving.place(joint.at)),)
        case Slide():
            return (Pose(joint.along + reference.turn, *moving.place(joint.at)),)
        case PinSlot():
            pin, turn = reference.place(joint.at), joint.along + moving.turn
            # A slot whose ends are not told has no place of its own along its direction: its symbol goes with the pin.
            slot = moving.place(joint.at) if joint.reach is not None else pin
            return (Pose(turn, *slot), Pose(turn, *pin))


def _gap(mark: GapMark, slabs: tuple[Slab, ...], poses: Poses, *, unit: float, off: Sequence[Extent]) -> list[Item]:
    spot = spot_of(mark, slabs, poses, unit=unit, radius=_DETAIL_RADIUS)
    patch = overlap_items(spot.overlap, unit=unit) if spot.overlap is not None else []
    return [*patch, *gap_dimension(mark, unit=unit, beside=spot.overlap, off=off)]


def _name(name: BodyName, slabs: tuple[Slab, ...], poses: Poses, *, unit: float) -> Text | None:
    """The body's name in its widest place that nothing lies over, or None where it does not fit there."""
    own = [number for number, slab in enumerate(slabs) if slab.body == name]
    if not own:
        return None
    fills = [moved(path, poses.get(name, DRAWN)) for number in own for path in slabs[number].fills]
    above = [moved(path, poses.get(slab.body, DRAWN)) for slab in slabs[max(own) + 1 :] for path in slab.fills]
    place = widest_place(fills, within=unit, without=above)
    if place is None or LETTER_WIDTH * NAME_SIZE * len(name) / 2.0 > place[1] / unit:
        return None
    return Text(place[0], name, NAME_SIZE, halo=True)
