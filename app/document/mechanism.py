"""The mechanism of the project at hand, prepared once: poses of bodies and gaps of pairs at drive values, for all views."""

from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from app.document.let_go import AT_ONCE
from core.clearance.pairs import BodyPair
from core.model.names import BodyName, DriveName, SectionName
from core.model.project import Project
from core.motion.linkage import Linkage, linkage_of
from core.motion.pose import Poses, poses
from core.sweep.at_pose import PoseGap, PoseGaps
from core.sweep.result import Pair

BodyPoses = Mapping[BodyName, tuple[float, float, float]]
"""Body to (turn degrees, shift x mm, shift y mm), section frame."""

_STIRS = 1e-9
"""mm, displacement below which a drive does not move a body."""


class Mechanism:
    """Answers for one project, which must be valid."""

    def __init__(self, project: Project) -> None:
        self.project = project
        self.linkage: Linkage = linkage_of(project)
        self._gaps: PoseGaps | None = None
        self._posed: tuple[tuple[object, ...], Poses] | None = None
        self._gap: tuple[tuple[object, ...], PoseGap | None] | None = None

    def take_gaps(self, gaps: PoseGaps) -> None:
        """Have the gaps of this project, which take too long to prepare for a frame; until then there are none."""
        self._gaps, self._gap = gaps, None

    def taken_apart(self) -> Iterator[None]:
        """Let go of the gaps, a little at each step: of thousands of rows at once it takes longer than a frame. It has none any more."""
        gaps, self._gaps, self._gap = self._gaps, None, None
        if gaps is not None:
            yield from gaps.let_go(AT_ONCE)

    @property
    def moving_pairs(self) -> tuple[BodyPair, ...]:
        """The pairs of bodies that can move relative to each other; none before they are laid out."""
        return self._gaps.plan.pairs if self._gaps is not None else ()

    def values(self, at: Mapping[DriveName, float]) -> NDArray[np.float64]:
        """(D,) float, in the order of the project's drives; a drive not named stands at home."""
        return np.array([at.get(drive.name, drive.home) for drive in self.project.drives], dtype=np.float64)

    def body_poses(self, section: SectionName, at: Mapping[DriveName, float]) -> BodyPoses:
        """Where every body of a section is."""
        linkage, found = self.linkage.section(section), self._pose(section, at)
        turn, shift = np.degrees(found.turn[0]).tolist(), found.shift[0]
        each = list(zip(turn, shift.real.tolist(), shift.imag.tolist(), strict=True))
        return {body: pose for bodies, pose in zip(linkage.groups, each, strict=True) for body in bodies}

    def tightest(self, section: SectionName, at: Mapping[DriveName, float]) -> PoseGap | None:
        """The pair of a section that keeps least of what is asked of it; None before gaps are prepared."""
        return self._gaps.tightest(section, at) if self._gaps is not None else None

    def gap_of(self, section: SectionName, pair: Pair, at: Mapping[DriveName, float]) -> PoseGap | None:
        """The gap of one pair; None where it is not checked, or not prepared. Of shapes at several depths, the tightest."""
        if self._gaps is None:
            return None
        key = (section, pair, *self._places(section, pair, at))
        if self._gap is None or self._gap[0] != key:
            self._gap = (key, self._gaps.pair_at(section, pair, at))
        return self._gap[1]

    def _places(self, section: SectionName, pair: Pair, at: Mapping[DriveName, float]) -> tuple[object, ...]:
        """What the gap of a pair hangs on: where its two bodies are, and whether the section gets there. Other drives may be anywhere."""
        linkage, found = self.linkage.section(section), self._pose(section, at)
        groups = [index for index, group in enumerate(linkage.groups) if pair[0] in group or pair[1] in group]
        return (bool(found.reached[0]), *((index, found.turn[0, index], found.shift[0, index]) for index in groups))

    def _pose(self, section: SectionName, at: Mapping[DriveName, float]) -> Poses:
        """The poses of a section at one position; the last is kept, since several ask for it at each frame."""
        values = self.values(at)
        key = (section, *values.tolist())
        if self._posed is None or self._posed[0] != key:
            self._posed = (key, poses(self.linkage.section(section), self.linkage, values))
        return self._posed[1]

    def path(self, section: SectionName, at: NDArray[np.float64]) -> Poses:
        """The poses of all groups of a section at many positions, (n, D) float."""
        return poses(self.linkage.section(section), self.linkage, at)

    def path_of(
        self, section: SectionName, body: BodyName, at: NDArray[np.float64]
    ) -> tuple[NDArray[np.float64], NDArray[np.complex128], NDArray[np.bool_]]:
        """Turn (n,) in radians, shift (n,) in mm, and whether the section gets there (n,), of one body at many positions (n, D)."""
        linkage = self.linkage.section(section)
        group = linkage.group_of(body)
        found = poses(linkage.only(group), self.linkage, at)
        return found.turn[:, group], found.shift[:, group], found.reached

    def drive_of(self, section: SectionName, body: BodyName, at: Mapping[DriveName, float], grip: complex) -> DriveName | None:
        """The drive that a body follows when it is taken at `grip`, mm, section frame as posed: the one that carries least else with it.

        None where no drive moves the body. Of drives that carry as much, the one that moves the grip farthest.
        """
        linkage = self.linkage.section(section)
        group = linkage.group_of(body)
        here = self.values(at)
        if not len(here):
            return None
        # Toward the middle of travel, so that a drive at its end still has somewhere to go.
        middle = np.array([(drive.start + drive.end) / 2 for drive in self.project.drives])
        steps = np.where(here < middle, 0.01, -0.01) * np.array([drive.end - drive.start for drive in self.project.drives])
        found = self.path(section, np.vstack([here, here + np.diag(steps)]))
        grip_drawn = (grip - found.shift[0, group]) * np.exp(-1j * found.turn[0, group])
        places = found.posed(group, np.array([grip_drawn]))[:, 0]
        moved = np.abs(places[1:] - places[0])
        carried = (np.abs(found.shift[1:] - found.shift[0]) + np.abs(found.turn[1:] - found.turn[0]) > _STIRS).sum(axis=1)
        told = zip(carried.tolist(), (-moved).tolist(), self.project.drives, strict=True)
        best = min(((count, back, drive) for count, back, drive in told if -back > _STIRS), key=lambda one: one[:2], default=None)
        return best[2].name if best is not None else None
