"""Where bodies are besides the pose on the board: in the ghost, and at the ends of a drive's travel."""

from collections.abc import Mapping

from app.document.desk import Desk
from app.document.mechanism import BodyPoses
from core.drawing.path import Pose
from core.model.names import BodyName


def ghost_poses(desk: Desk) -> BodyPoses | None:
    """Where the bodies that differ from the pose shown are in the ghost; None while there is no ghost."""
    if desk.pose.ghost is None:
        return None
    here, there = desk.body_poses(), desk.body_poses(desk.pose.ghost)
    return {body: pose for body, pose in there.items() if pose != here.get(body)}


def travel_ends(desk: Desk) -> Mapping[BodyName, tuple[Pose, Pose]] | None:
    """Bodies that the drive in hand moves, at the two ends of its travel, the others as they are."""
    drive = desk.drive(desk.choice.drive)
    if drive is None or desk.mechanism is None:
        return None
    low, high = (desk.body_poses({**desk.pose.shown, drive.name: value}) for value in (drive.start, drive.end))
    return {body: (Pose(*low[body]), Pose(*high[body])) for body in low if low[body] != high[body]}
