"""What is the gap between any two bodies of a section at a pose? Exact, with its nearest points, checked or not."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from msgspec.structs import replace

from core.model.names import BodyName, DriveName, SectionName
from core.model.project import Body, Project, Section
from core.motion.linkage import Linkage
from core.motion.pose import poses
from core.sweep.at_pose import PoseGap, PoseGaps
from core.sweep.result import Pair
from core.tolerances import DEFAULT_TOLERANCES, Tolerances


@dataclass(frozen=True, slots=True, eq=False)
class GapBetween:
    """Prepared once for a project and a pair, asked at many poses.

    still: the two never move relative to each other; their gap is that of the drawing, all of both looked at. Otherwise
    it is the gap as a sweep looks at it: what joints hold of the two about their pin is left out.
    """

    project: Project
    linkage: Linkage
    section: SectionName
    pair: Pair
    still: bool
    _gaps: PoseGaps

    def at(self, values: Mapping[DriveName, float]) -> PoseGap | None:
        """The gap at drive values (those not named at home); None where joints hold all there is to measure."""
        if not self.still:
            rows = [self._gaps.row_at(row, values) for row in self._gaps.plan.rows]
            return min(rows, key=lambda gap: gap.gap, default=None)
        found = min((self._gaps.row_at(row, {}) for row in self._gaps.plan.rows), key=lambda gap: gap.gap, default=None)
        return None if found is None else self._carried(found, values)

    def _carried(self, drawn: PoseGap, values: Mapping[DriveName, float]) -> PoseGap:
        """The gap of a still pair where its bodies are carried to."""
        links = self.linkage.section(self.section)
        at = np.array([[values.get(drive.name, drive.home) for drive in self.project.drives]], dtype=float)
        found = poses(links, self.linkage, at.reshape(1, len(self.project.drives)))
        group = links.group_of(self.pair[0])
        spin, shift = complex(np.exp(1j * found.turn[0, group])), complex(found.shift[0, group])
        (first, second), out = (spin * complex(*point) + shift for point in drawn.points), drawn.way_out
        points = ((first.real, first.imag), (second.real, second.imag))
        turned = None if out is None else spin * complex(*out)
        way_out = None if turned is None else (turned.real, turned.imag)
        return drawn._replace(points=points, way_out=way_out, required_gap=0.0, tolerance=0.0, reached=bool(found.reached[0]))


def gap_between(
    project: Project, linkage: Linkage, section: SectionName, pair: Pair, *, tolerances: Tolerances = DEFAULT_TOLERANCES
) -> GapBetween:
    """Prepare the gap of two different bodies of a valid project, whether or not a rule says that it is not checked.

    linkage: of this project. KeyError where the section lacks one of the bodies.
    """
    links = linkage.section(section)
    still = links.group_of(pair[0]) == links.group_of(pair[1])
    asked = _loose(project, section, pair) if still else _alone(project, section, pair)
    return GapBetween(project, linkage, section, pair, still, PoseGaps(asked, tolerances=tolerances))


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
