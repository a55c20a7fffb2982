"""Where does a grip go: what does it snap to, and where does a step by key take it? Pure. mm, degrees, section frame."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from msgspec.structs import replace

from app.board.tools.snap import Candidate, candidates
from app.drawing.grips_of import Grip, Measure, measure_of
from app.drawing.point_tool import DECIMALS, GRID
from core.model.belonging import joints_of
from core.model.joints import Joint
from core.model.project import Body, Section
from core.model.shapes import Bar, Point, Polygon, Shape

WHOLE_TURN: Final = 5.0
"""Degrees; the step of what a turn snaps to."""
NEAR_WAY: Final = 0.35
"""Share of an arrow's way along that of a grip, under which it does not move the grip."""


@dataclass(frozen=True, slots=True)
class Around:
    """What a grip can snap to: bodies without the shape that is held, and pins that stay."""

    bodies: tuple[Body, ...] = ()
    joints: tuple[Joint, ...] = ()


def around(section: Section, body: Body, index: int, grip: Grip) -> Around:
    """What stays while a grip of a shape of `body` is pulled; `section`: as it is drawn. Hidden bodies are not snapped to."""
    own = next((one for one in section.bodies if one.name == body.name and len(one.shapes) == len(body.shapes)), None)
    rest = tuple(shape for number, shape in enumerate(own.shapes) if number != index) if own is not None else ()
    others = tuple(one for one in section.bodies if one.name != body.name and not one.view.hidden)
    along = joints_of(section, (body.name,)) if grip.kind == "centre" and len(body.shapes) == 1 else ()
    joints = tuple(joint for joint in section.joints if joint not in along)
    return Around((*others, replace(own, shapes=rest)) if own is not None and rest else others, joints)


def snaps(shape: Shape, grip: Grip, at: Point, there: Around, *, within: float, whole: str) -> tuple[Candidate, ...]:
    """What the grip can snap to with the pointer `at`, the likeliest first; numbers that are `whole`, told so, last."""
    measure = measure_of(shape, grip)
    if measure is None:
        return candidates(there.bodies, at, within=within, grid=GRID, joints=there.joints, from_=_begin(shape, grip))
    found = candidates(there.bodies, at, within=within, grid=0.0, joints=there.joints) if grip.kind != "rounding" else ()
    return (*found, *_whole(measure, grip, at, within, whole))


def loose(shape: Shape, grip: Grip, at: Point) -> Point:
    """Where the grip goes with the pointer `at` where nothing is snapped to: numbers of the hand are rounded."""
    measure = measure_of(shape, grip)
    if measure is None:
        return (round(at[0], DECIMALS), round(at[1], DECIMALS))
    return measure.place(round(measure.number(at), DECIMALS), at)


def stepped(shape: Shape, grip: Grip, way: Point, by: float) -> Point | None:
    """Where an arrow of length 1 takes the grip in a step of `by` mm or degrees; None where the grip does not go that way.

    Right and up make a radius, wall or rounding larger and a turn go on counter-clockwise; a side follows the arrow.
    """
    measure = measure_of(shape, grip)
    if measure is None:
        return (grip.at[0] + by * way[0], grip.at[1] + by * way[1])
    share = _share(measure, grip, way)
    number = measure.number(grip.at) + by * (1 if share > 0 else -1)
    return measure.place(number, grip.at) if abs(share) > NEAR_WAY else None


def _share(measure: Measure, grip: Grip, way: Point) -> float:
    """How far an arrow goes the way of the grip, from -1 to 1."""
    side = getattr(measure, "way", None) if grip.kind == "side" else None
    return way[0] * side[0] + way[1] * side[1] if side is not None else way[0] + way[1]


def _begin(shape: Shape, grip: Grip) -> Point | None:
    """Where the line begins that ends at the grip, so that it may be square to an edge or touch a round one."""
    match grip.kind, shape:
        case "end", Bar():
            return shape.end if grip.place == 0 else shape.start
        case "point" | "middle", Polygon():
            ring = shape.points if grip.hole is None else shape.holes[grip.hole]
            return ring[grip.place - 1] if grip.kind == "point" else ring[grip.place]
    return None


def _whole(measure: Measure, grip: Grip, at: Point, within: float, told: str) -> Iterator[Candidate]:
    step = WHOLE_TURN if grip.kind == "turn" else GRID
    number = measure.number(at)
    place = measure.place(round(number / step) * step, at)
    if abs(place[0] - at[0]) <= within and abs(place[1] - at[1]) <= within:
        yield Candidate(place, told)


def next_of(found: Sequence[Candidate], turns: int) -> Candidate | None:
    """The likeliest, or so many further on, round and round."""
    return found[turns % len(found)] if found else None
