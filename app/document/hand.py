"""The hand that drags a body along its drive: the drive follows, with a light catch at its stops."""

import time

from app.document.choice import Choice
from app.document.drag import Grip, held_still, take_hold, value_toward, with_detent
from app.document.mechanism import Mechanism
from app.document.pose_at_hand import PoseAtHand
from app.document.travel import stops_along
from core.model.names import BodyName, SectionName
from core.sweep.result import SweepResult

HAND_SECONDS = 0.25
"""So long after a body that is dragged has moved last, the hand counts as at work: taking a large answer would make it stumble."""

DETENT_SHARE = 0.006
"""How near to a stop, as a share of travel, a dragged drive is caught by it."""


class Hand:
    """Holds a body from press to release."""

    def __init__(self, choice: Choice, pose: PoseAtHand) -> None:
        self._choice, self._pose = choice, pose
        self._grip: Grip | None = None
        self._moved_at = -HAND_SECONDS

    @property
    def at_work(self) -> bool:
        """Whether a body is held that has moved just now."""
        return self._grip is not None and time.monotonic() - self._moved_at < HAND_SECONDS

    def at_work_in(self, section: SectionName | None) -> bool:
        """Whether that is so of a body of this section."""
        return self.at_work and self._grip is not None and self._grip.section == section

    def drag(self, mechanism: Mechanism, result: SweepResult | None, body: BodyName, pointer: complex, phase: str) -> None:
        """Follow the pointer, mm; caught where a gap becomes too small and where it first closes, as far as `result` tells."""
        self._moved_at = time.monotonic()
        if phase == "press":
            section = self._choice.section
            self._grip = None if section is None else take_hold(mechanism, section, body, self._pose.values, pointer)
            if self._grip:
                self._choice.pick_drive(self._grip.drive)
        elif self._grip is not None:
            self._grip = held_still(mechanism, self._grip)
            if self._grip is not None:
                value = value_toward(self._grip, pointer)
                self._pose.put({self._grip.drive: self._caught(mechanism, result, self._grip, value)})
            if phase == "release":
                self._grip = None

    def _caught(self, mechanism: Mechanism, result: SweepResult | None, grip: Grip, value: float) -> float:
        drive = next((one for one in mechanism.project.drives if one.name == grip.drive), None)
        others_home = all(grip.at.get(name, home) == home for name, home in self._pose.home().items() if name != grip.drive)
        if drive is None or not others_home:
            return value
        stops = stops_along(result, grip.section, grip.drive)
        return with_detent(value, stops, within=DETENT_SHARE * (drive.end - drive.start))
