"""What does a hand on a grip make of the project? Pure: each an edit of the state at the press."""

from app.drawing.grips_of import Grip, dragged
from core.model.edit_placing import place_bodies
from core.model.edit_shapes import LEAST_POINTS, add_point, delete_point, replace_shape
from core.model.lookup import body_of, section_of
from core.model.names import BodyName, SectionName
from core.model.placing import moving
from core.model.project import Body, Project
from core.model.shapes import Point, Polygon


def pulled(project: Project, section: SectionName, body: BodyName, index: int, grip: Grip, to: Point) -> Project:
    """The project with a grip of a shape at `to`, mm. A body of one shape held at its centre moves with the joints it carries."""
    old = body_of(section_of(project, section), body)
    if grip.kind == "centre" and len(old.shapes) == 1:
        return place_bodies(project, section, (body,), moving(shift=(to[0] - grip.at[0], to[1] - grip.at[1])))
    return replace_shape(project, section, body, index, dragged(old.shapes[index], grip, to))


def split(project: Project, section: SectionName, body: BodyName, index: int, grip: Grip) -> Project:
    """The project with a point in the middle of the edge of a polygon that the grip stands on."""
    return add_point(project, section, body, index, grip.at, before=grip.place + 1, hole=grip.hole)


def can_go(body: Body, index: int, grip: Grip) -> bool:
    """Whether the grip is a point that can be taken out: three of an outline stay, of a hole the hole goes with them."""
    shape = body.shapes[index]
    return grip.kind == "point" and isinstance(shape, Polygon) and (grip.hole is not None or len(shape.points) > LEAST_POINTS)


def fills(body: Body, index: int, grip: Grip) -> bool:
    """Whether taking the point out fills its hole."""
    shape = body.shapes[index]
    return isinstance(shape, Polygon) and grip.hole is not None and len(shape.holes[grip.hole]) <= LEAST_POINTS


def taken_out(project: Project, section: SectionName, body: BodyName, index: int, grip: Grip) -> Project:
    """The project without the point that the grip is."""
    return delete_point(project, section, body, index, grip.place, hole=grip.hole)
