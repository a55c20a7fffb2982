"""What of a project with faults can be drawn? A drawing goes on while it is wrong, and shows what there is to mend."""

import re
from collections.abc import Iterable

import msgspec

from core.model.finding import Finding
from core.model.project import Body, Project, Section
from core.model.shapes import Bar, Point, Polygon, Shape

HAIR = 0.05
"""mm, half the width of the line that stands for an outline which encloses nothing, or crosses itself."""

SHAPE = re.compile(r"sections\[(\d+)\]\.bodies\[(\d+)\]\.shapes\[(\d+)\]")
DRAWN_ALL_THE_SAME = frozenset({"depth-empty", "corner-radius-too-large"})


def drawable(project: Project, findings: Iterable[Finding]) -> Project:
    """The project with each shape that has an error as its bare lines, or left out; joints of bodies that are not there too."""
    faulty = {
        tuple(map(int, found.groups()))
        for finding in findings
        if finding.level == "error" and finding.code not in DRAWN_ALL_THE_SAME and (found := SHAPE.match(finding.place.path))
    }
    sections = tuple(_section(section, place, faulty) for place, section in enumerate(project.sections))
    return msgspec.structs.replace(project, sections=sections)


def bare_lines(shape: Shape) -> tuple[Shape, ...]:
    """The lines of an outline as hair-thin bars; none for a shape that is no outline of points."""
    if isinstance(shape, Polygon):
        return tuple(bar for ring in (shape.points, *shape.holes) for bar in _round(ring))
    if isinstance(shape, Bar):
        return _round((shape.start, shape.end))
    return ()


def is_hair(shape: Shape) -> bool:
    """Whether a shape is one of those bars."""
    return isinstance(shape, Bar) and shape.radius == HAIR


def _section(section: Section, place: int, faulty: set[tuple[int, ...]]) -> Section:
    bodies = tuple(_body(body, (place, number), faulty) for number, body in enumerate(section.bodies))
    names = {body.name for body in bodies}
    joints = tuple(joint for joint in section.joints if names.issuperset(joint.between))
    return msgspec.structs.replace(section, bodies=bodies, joints=joints)


def _body(body: Body, place: tuple[int, int], faulty: set[tuple[int, ...]]) -> Body:
    """The same object where none of its shapes is faulty: who draws it sees by that that nothing has changed."""
    if not any((*place, number) in faulty for number in range(len(body.shapes))):
        return body
    shapes: list[Shape] = []
    for number, shape in enumerate(body.shapes):
        shapes.extend(bare_lines(shape) if (*place, number) in faulty else (shape,))
    return msgspec.structs.replace(body, shapes=tuple(shapes))


def _round(ring: tuple[Point, ...]) -> tuple[Bar, ...]:
    ends = zip(ring, (*ring[1:], *ring[:1]), strict=True)
    return tuple(Bar(start=start, end=end, radius=HAIR) for start, end in ends if start != end)
