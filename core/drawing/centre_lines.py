"""Where do centre lines run? Through the middle of round shapes of the bay, a little beyond them, as drawings do."""

from core.drawing.display_list import DisplayList, Stroke
from core.drawing.path import polyline
from core.model.project import Body
from core.model.shapes import Bore, Disc

BEYOND = 7.0
"""How far centre lines pass the outline, drawing units."""

LEAST_RADIUS = 14.0
"""Round shapes smaller than this, in drawing units, carry none: the cross would hide them."""


def centre_lines(body: Body, *, unit: float) -> DisplayList:
    """The crossed centre lines of a body's discs and bores, `unit` mm to a drawing unit; none for its other shapes."""
    lines: list[Stroke] = []
    for shape in body.shapes:
        if not isinstance(shape, Disc | Bore):
            continue
        radius = shape.radius + (shape.wall if isinstance(shape, Bore) else 0.0)
        if radius < LEAST_RADIUS * unit:
            continue
        (x, y), half = shape.centre, radius + BEYOND * unit
        cross = (polyline((x - half, y), (x + half, y)), polyline((x, y - half), (x, y + half)))
        lines.append(Stroke(cross, "centre", "quiet"))
    return tuple(lines)
