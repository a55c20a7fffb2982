"""What is the gap between any two bodies of a section at a pose? Exact, with its nearest points, checked or not."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from msgspec.structs import replace

from core.model.names import BodyName, SectionName
from core.model.project import Body, Project, Section
from core.motion.linkage import Linkage
from core.sweep.at_pose import Placed, PoseGap, PoseGaps
from core.sweep.plan import Row
from core.sweep.result import Pair
from core.tolerances import DEFAULT_TOLERANCES, Tolerances

DRAWN: Final[Placed] = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, eq=False)
class GapBetween:
    """Prepared once for a project and a pair, asked at many poses.

    still: the two never move relative to each other; all of both is looked at. Otherwise it is the gap as a sweep looks at
    it: what joints hold of the two about their pin is left out.
    """

    project: Project
    still: bool
    _gaps: PoseGaps

    def at(self, placed: Mapping[BodyName, Placed]) -> PoseGap | None:
        """The gap where the bodies are placed so (those not named as drawn); None where joints hold all there is to measure.

        required_gap, tolerance: what a sweep would ask; 0 of still pairs, of which it asks nothing.
        """
        found = [self._row(row, placed) for row in self._gaps.plan.rows]
        least = min(found, key=lambda gap: gap.gap, default=None)
        return least._replace(required_gap=0.0, tolerance=0.0) if least is not None and self.still else least

    def _row(self, row: Row, placed: Mapping[BodyName, Placed]) -> PoseGap:
        first, second = (placed.get(name, DRAWN) for name in row.pair.between)
        return self._gaps.row_when(row, (first, second))


def gap_between(
    project: Project, linkage: Linkage, section: SectionName, pair: Pair, *, tolerances: Tolerances = DEFAULT_TOLERANCES
) -> GapBetween:
    """Prepare the gap of two different bodies of a valid project, whether or not a rule says that it is not checked.

    linkage: of this project. KeyError where the section lacks one of the bodies.
    """
    links = linkage.section(section)
    still = links.group_of(pair[0]) == links.group_of(pair[1])
    asked = _loose(project, section, pair) if still else _alone(project, section, pair)
    return GapBetween(project, still, PoseGaps(asked, tolerances=tolerances))


def _alone(project: Project, section: SectionName, pair: Pair) -> Project:
    """The mechanism as it is, with shapes on the two bodies only, and no rule that leaves them out."""
    sections = tuple(
        replace(one, bodies=tuple(body if one.name == section and body.name in pair else replace(body, shapes=()) for body in one.bodies))
        for one in project.sections
    )
    return replace(project, sections=sections, gap_rules=tuple(rule for rule in project.gap_rules if rule.unchecked is None))


def _loose(project: Project, section: SectionName, pair: Pair) -> Project:
    """The two bodies alone, held by nothing."""
    own = next(one for one in project.sections if one.name == section)
    bodies = tuple(replace(_named(own, name), fixed=False) for name in pair)
    alone = (Section(name=section, bodies=bodies),)
    return replace(project, required_gap=0.0, sections=alone, drives=(), gap_rules=(), allowed_together=())


def _named(section: Section, name: BodyName) -> Body:
    found = next((body for body in section.bodies if body.name == name), None)
    if found is None:
        raise KeyError(name)
    return found
