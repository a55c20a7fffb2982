"""What is a grip called, what does it say of its shape, and which lengths stand beside it while it is pulled? Pure. mm, degrees."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

from app.drawing.dimensions import degrees, millimetres, radius_words
from app.drawing.grip_edits import can_go, fills
from app.drawing.grips_of import CORNERS, SIDES, Grip
from core.drawing.path import Pose
from core.model.project import Body
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Point, Polygon, Shape

Translator = Callable[[str], str]

_STEPS: Final = {
    "centre": "Move a shape of {body}",
    "point": "Move a point of {body}",
    "middle": "Add a point to {body}",
    "corner": "Pull a corner of {body}",
    "side": "Pull a side of {body}",
    "end": "Move an end of {body}",
    "radius": "Radius of {body}",
    "wall": "Wall of {body}",
    "turn": "Turn a shape of {body}",
    "rounding": "Round the corners of {body}",
}
_NAMES: Final = {
    "centre": "Centre",
    "point": "Point {number}",
    "middle": "Middle of edge {number}",
    "corner": "Corner {number}",
    "side": "Side {number}",
    "end": "End {number}",
    "radius": "Radius",
    "wall": "Wall",
    "turn": "Turn",
    "rounding": "Corner radius",
}


@dataclass(frozen=True, slots=True)
class Length:
    """A dimension line from `start` to `end`, mm, with its words; `right`: to the right of it."""

    start: Point
    end: Point
    words: str
    right: bool = False


def step_name(grip: Grip, body: Body, tr: Translator) -> str:
    """The name of the step of the history that pulling the grip is."""
    if grip.kind == "centre" and len(body.shapes) == 1:
        return tr("Move {names}").format(names=body.name)
    return tr(_STEPS[grip.kind]).format(body=body.name)


def out_name(grip: Grip, index: int, body: Body, tr: Translator) -> str:
    """The name of the step that takes a point out."""
    text = tr("Fill a hole of {body}") if fills(body, index, grip) else tr("Take a point out of {body}")
    return text.format(body=body.name)


def told(body: Body, index: int, grip: Grip, tr: Translator) -> str:
    """The grip, whose it is, and its numbers as they are: "Corner 3 of plate, 60.00 by 40.00 mm"."""
    name = tr(_NAMES[grip.kind]).format(number=grip.place + 1)
    if grip.hole is not None:
        name = tr("{grip} of hole {number}").format(grip=name, number=grip.hole + 1)
    whose = body.name if len(body.shapes) == 1 else tr("{body}, shape {number}").format(body=body.name, number=index + 1)
    return tr("{grip} of {whose}: {numbers}").format(grip=name, whose=whose, numbers=_numbers(body.shapes[index], grip, tr))


def how_to(body: Body, index: int, grip: Grip, tr: Translator) -> str:
    """What the hand and the keys do to it."""
    step = (
        tr("1{degree}, with Shift 0.1{degree}").format(degree="\N{DEGREE SIGN}") if grip.kind == "turn" else tr("1 mm, with Shift 0.1 mm")
    )
    if grip.kind == "middle":
        return tr("Drag it out to a new point, or Enter. Tab: next grip.")
    ways = [tr("Drag it; arrow keys move it by {step}.").format(step=step)]
    if can_go(body, index, grip):
        ways.append(tr("Delete fills its hole.") if fills(body, index, grip) else tr("Delete takes it out."))
    return " ".join((*ways, tr("Tab: next grip.")))


def lengths_of(shape: Shape, grip: Grip, *, air: float) -> tuple[Length, ...]:
    """The lengths that change with the grip; `air`: mm between a side and its dimension line."""
    return tuple(_lengths(shape, grip, air))


def _numbers(shape: Shape, grip: Grip, tr: Translator) -> str:
    match grip.kind, shape:
        case ("corner", Box() | Frame()):
            return tr("{width} by {height} mm").format(width=millimetres(shape.size[0]), height=millimetres(shape.size[1]))
        case ("side", Box() | Frame()):
            return _mm(shape.size[0 if SIDES[grip.place][0] else 1], tr)
        case ("turn", Box() | Frame()):
            return degrees(shape.turn)
        case ("wall", Bore() | Frame()):
            return _mm(shape.wall, tr)
        case ("radius", Disc() | Bore() | Bar()):
            return _mm(shape.radius, tr)
        case ("rounding", Box() | Polygon()):
            return _mm(shape.corner_radius, tr)
    return tr("({x}, {y}) mm").format(x=millimetres(grip.at[0]), y=millimetres(grip.at[1]))


def _mm(value: float, tr: Translator) -> str:
    return tr("{value} mm").format(value=millimetres(value))


def _lengths(shape: Shape, grip: Grip, air: float) -> Iterator[Length]:
    match shape:
        case Box() | Frame():
            yield from _of_box(shape, grip, air)
        case Polygon() if grip.kind == "point":
            ring = shape.points if grip.hole is None else shape.holes[grip.hole]
            here = ring[grip.place]
            for other in (ring[grip.place - 1], ring[(grip.place + 1) % len(ring)]):
                yield Length(other, here, millimetres(math.dist(other, here)))
        case Polygon() if grip.kind == "rounding":
            yield Length(grip.at, grip.at, radius_words(shape.corner_radius))
        case Bar() if grip.kind == "end":
            one, other = (shape.end, shape.start) if grip.place == 0 else (shape.start, shape.end)
            turn = math.degrees(math.atan2(other[1] - one[1], other[0] - one[0]))
            yield Length(one, other, f"{millimetres(math.dist(one, other))}  {degrees(turn)}")
        case Bar() if grip.kind == "radius":
            middle = ((shape.start[0] + shape.end[0]) / 2, (shape.start[1] + shape.end[1]) / 2)
            yield Length(middle, grip.at, radius_words(shape.radius), right=True)
        case Disc() | Bore() if grip.kind == "radius":
            yield Length(shape.centre, grip.at, radius_words(shape.radius))
        case Bore() if grip.kind == "wall":
            x, y = shape.centre
            yield Length((x, y + shape.radius), (x, y + shape.radius + shape.wall), millimetres(shape.wall), right=True)


def _of_box(shape: Box | Frame, grip: Grip, air: float) -> Iterator[Length]:
    own, half_x, half_y = Pose(shape.turn, *shape.centre), shape.size[0] / 2, shape.size[1] / 2
    off = air + (shape.wall if isinstance(shape, Frame) else 0.0)
    look = CORNERS[grip.place] if grip.kind == "corner" else SIDES[grip.place] if grip.kind == "side" else (0, 0)
    if look[0]:
        start, end = (own.place((x * half_x, half_y + off)) for x in (-1, 1))
        yield Length(start, end, millimetres(shape.size[0]))
    if look[1]:
        start, end = (own.place((half_x + off, y * half_y)) for y in (-1, 1))
        yield Length(start, end, millimetres(shape.size[1]), right=True)
    if grip.kind == "turn":
        yield Length(shape.centre, grip.at, degrees(shape.turn))
    if grip.kind == "wall" and isinstance(shape, Frame):
        yield Length(own.place((half_x / 2, half_y)), grip.at, millimetres(shape.wall), right=True)
    if grip.kind == "rounding" and isinstance(shape, Box):
        r = shape.corner_radius
        reach = r * (math.sqrt(0.5) - 1)
        tip = own.place((half_x + reach, half_y + reach))
        yield Length(own.place((half_x - r, half_y - r)), tip, radius_words(r), right=True)
