"""How is a ring of stations made of one, or a row? Copies about a centre and along a line, with joints, drives and rules."""

from collections.abc import Collection
from dataclasses import dataclass

from core.model.fragment import fragment_of
from core.model.lookup import section_of
from core.model.middle import middle_of_bodies
from core.model.names import BodyName, SectionName
from core.model.pasting import Drives, Pasted, pasted
from core.model.placing import Placing, moving
from core.model.project import Project
from core.model.shapes import Point

FULL_TURN = 360.0


@dataclass(frozen=True, slots=True)
class Repeated:
    """The project with the copies, each as it was pasted, in order; the original is not among them."""

    project: Project
    copies: tuple[Pasted, ...]


def repeat_round(
    project: Project,
    section: SectionName,
    names: Collection[BodyName],
    *,
    centre: Point,
    count: int,
    step: float | None = None,
    turned: bool = True,
    drives: Drives = "copied",
) -> Repeated:
    """Make `count` of bodies, the original included, about `centre`, `step` degrees counter-clockwise apart.

    `step` None spreads them over the full turn. `turned` False keeps their heading: only their middle goes round, as the
    seats of a big wheel do. "petal" gives "petal 2", "petal 3", ...; drives as `pasted` has it. ValueError for a count below 1.
    """
    angle = FULL_TURN / max(count, 1) if step is None else step
    middle = middle_of_bodies(body for body in section_of(project, section).bodies if body.name in names)
    placings = [_round(k * angle, centre=centre, middle=middle, turned=turned) for k in _others(count)]
    return _repeated(project, section, names, placings, drives)


def repeat_along(
    project: Project, section: SectionName, names: Collection[BodyName], *, by: Point, count: int, drives: Drives = "copied"
) -> Repeated:
    """Make `count` of bodies, the original included, each `by` mm from the one before. ValueError for a count below 1."""
    return _repeated(project, section, names, [moving(shift=(k * by[0], k * by[1])) for k in _others(count)], drives)


def _round(angle: float, *, centre: Point, middle: Point, turned: bool) -> Placing:
    placing = moving(turn=angle, about=centre)
    if turned:
        return placing
    there = placing.point(middle)
    return moving(shift=(there[0] - middle[0], there[1] - middle[1]))


def _others(count: int) -> range:
    if count < 1:
        raise ValueError(f"cannot make {count} of something")
    return range(1, count)


def _repeated(project: Project, section: SectionName, names: Collection[BodyName], placings: list[Placing], drives: Drives) -> Repeated:
    fragment = fragment_of(project, section, names)
    copies = []
    for placing in placings:
        copies.append(pasted(project, section, fragment, placing=placing, drives=drives))
        project = copies[-1].project
    return Repeated(project, tuple(copies))
