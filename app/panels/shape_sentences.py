"""The shapes of a body as sentences with numbers, what a change of each does, and the shapes to begin with. Pure."""

import re
from collections.abc import Callable

from msgspec.structs import replace

from app.panels.adjustable import Adjustable, Change, Translator
from app.panels.number_sentence import Number
from core.model.edit_shapes import move_point, replace_shape
from core.model.lookup import body_of, section_of
from core.model.names import BodyName, SectionName
from core.model.project import Project, Unit
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Polygon, Shape

LENGTH_STEP, TURN_STEP = 0.5, 1.0
"""What a notch of the wheel changes: mm and degrees."""

Part = tuple[str, int | None]
"""A field of a shape, and its place in it where the field is a pair. Of a polygon also "points 2" and "holes 0 2"."""

_POINT = re.compile(r"(h(?P<hole>\d+))?(?P<axis>[xy])(?P<place>\d+)")

_X, _Y = ("centre", 0), ("centre", 1)
_WIDTH, _HEIGHT, _WALL = ("size", 0), ("size", 1), ("wall", None)
_RADIUS, _TURN, _CORNER = ("radius", None), ("turn", None), ("corner_radius", None)

_SENTENCES: dict[type[Shape], tuple[str, dict[str, Part]]] = {
    Disc: ("Disc of radius {radius} at ({x}, {y}).", {"radius": _RADIUS, "x": _X, "y": _Y}),
    Bar: (
        "Bar from ({x}, {y}) to ({end_x}, {end_y}), of radius {radius}.",
        {"x": ("start", 0), "y": ("start", 1), "end_x": ("end", 0), "end_y": ("end", 1), "radius": _RADIUS},
    ),
    Box: (
        "Box {width} by {height} at ({x}, {y}), turned {turn}, corners rounded by {corner}.",
        {"width": _WIDTH, "height": _HEIGHT, "x": _X, "y": _Y, "turn": _TURN, "corner": _CORNER},
    ),
    Bore: ("Bore of radius {radius} at ({x}, {y}), its wall {wall}.", {"radius": _RADIUS, "x": _X, "y": _Y, "wall": _WALL}),
    Frame: (
        "Frame, {width} by {height} inside, at ({x}, {y}), its wall {wall}, turned {turn}.",
        {"width": _WIDTH, "height": _HEIGHT, "x": _X, "y": _Y, "wall": _WALL, "turn": _TURN},
    ),
}

FIRST_SHAPES: dict[str, Shape] = {
    "disc": Disc(centre=(0.0, 0.0), radius=5.0),
    "bar": Bar(start=(0.0, 0.0), end=(20.0, 0.0), radius=2.0),
    "box": Box(centre=(0.0, 0.0), size=(20.0, 10.0)),
    "polygon": Polygon(points=((0.0, 0.0), (20.0, 0.0), (0.0, 10.0))),
    "bore": Bore(centre=(0.0, 0.0), radius=20.0, wall=2.0),
    "frame": Frame(centre=(0.0, 0.0), size=(80.0, 50.0), wall=2.0),
}
"""What each word sets down, to be given its true sizes at once."""


def of_shape(section: SectionName, body: BodyName, index: int, shape: Shape, tr: Translator) -> Adjustable:
    """The sentence of the shape at a place of its body, from 0."""
    named = tr("{body}, shape {number}").format(body=body, number=index + 1)
    step = tr("Shape {number} of {body}").format(body=body, number=index + 1)
    text, parts = _sentence(shape, tr)
    numbers = []
    for key, part in parts.items():
        unit: Unit = "deg" if part[0] == "turn" else "mm"
        numbers.append(Number(key, _value(shape, part), f"{named}: {_told(key, tr)}", unit, TURN_STEP if unit == "deg" else LENGTH_STEP))
    changes = tuple((key, Change(step, _edit(section, body, index, part))) for key, part in parts.items())
    return Adjustable(text, tuple(numbers), changes, (section, body, index, type(shape)))


def _sentence(shape: Shape, tr: Translator) -> tuple[str, dict[str, Part]]:
    if isinstance(shape, Polygon):
        text, parts = _polygon(shape, tr)
    else:
        written, known = _SENTENCES[type(shape)]
        text, parts = tr(written), dict(known)
    if shape.depth is None:
        return text, parts
    return f"{text} {tr('It lies from {low} to {high} deep.')}", {**parts, "low": ("depth", 0), "high": ("depth", 1)}


def _polygon(shape: Polygon, tr: Translator) -> tuple[str, dict[str, Part]]:
    """The points of the outline and of each hole: keys x0, y0, and h0x0, h0y0 for those of the first hole."""
    told, parts = _ring("", "points", len(shape.points))
    sentences = [tr("Polygon through {points}, corners rounded by {corner}.").replace("{points}", told)]
    parts["corner"] = _CORNER
    for number, ring in enumerate(shape.holes):
        told, more = _ring(f"h{number}", f"holes {number}", len(ring))
        sentences.append(tr("Hole {number} through {points}.").replace("{number}", str(number + 1)).replace("{points}", told))
        parts |= more
    return " ".join(sentences), parts


def _ring(before: str, field: str, count: int) -> tuple[str, dict[str, Part]]:
    told = ", ".join(f"({{{before}x{place}}}, {{{before}y{place}}})" for place in range(count))
    return told, {f"{before}{axis}{place}": (f"{field} {place}", at) for place in range(count) for at, axis in enumerate("xy")}


def _told(key: str, tr: Translator) -> str:
    told = {
        "end_x": tr("x of its end"),
        "end_y": tr("y of its end"),
        "corner": tr("corner radius"),
        "low": tr("from this depth"),
        "high": tr("to this depth"),
    }
    if point := _POINT.fullmatch(key):
        text = tr("{axis} of point {number} of hole {hole}") if point["hole"] else tr("{axis} of point {number}")
        return text.format(axis=point["axis"], number=int(point["place"]) + 1, hole=int(point["hole"] or 0) + 1)
    return told.get(key, tr(key))


def _value(shape: Shape, part: Part) -> float:
    name, at = part
    if isinstance(shape, Polygon) and " " in name and at is not None:
        hole, place = _place(name)
        return (shape.points if hole is None else shape.holes[hole])[place][at]
    found = getattr(shape, name)
    return float(found if at is None else found[at])


def _edit(section: SectionName, body: BodyName, index: int, part: Part) -> Callable[[float, Project], Project]:
    name, at = part

    def put(value: float, project: Project) -> Project:
        shape = body_of(section_of(project, section), body).shapes[index]
        if isinstance(shape, Polygon) and " " in name:
            hole, place = _place(name)
            x, y = (shape.points if hole is None else shape.holes[hole])[place]
            return move_point(project, section, body, index, place, to=(value, y) if at == 0 else (x, value), hole=hole)
        new: object = value
        if at is not None:
            old = getattr(shape, name)
            new = (value, old[1]) if at == 0 else (old[0], value)
        return replace_shape(project, section, body, index, replace(shape, **{name: new}))

    return put


def _place(name: str) -> tuple[int | None, int]:
    """The ring of a polygon's point, None for the outline, and its place in it."""
    *ring, place = name.split()[1:]
    return int(ring[0]) if ring else None, int(place)
