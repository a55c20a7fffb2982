"""The petal lamp at poses of its first drive, and pictures of what shows it."""

from PySide6.QtCore import QPoint
from PySide6.QtGui import QImage

from app.command_line import sample_files
from app.document.mechanism import Mechanism
from core.project_file.read import read_project

PROJECT = read_project(sample_files()["petal_lamp"])
SECTION = PROJECT.sections[0].name
MOVER = next(body.name for body in PROJECT.sections[0].bodies if not body.fixed)
FIXED = next(body.name for body in PROJECT.sections[0].bodies if body.fixed)
DRIVE = PROJECT.drives[0]


def shot(view, ratio=1.0):
    """What a board or strip shows, in as many device pixels to a logical one."""
    image = QImage(view.viewport().size() * ratio, QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(ratio)
    view.viewport().render(image, QPoint(0, 0))
    return image


def poses(share):
    """All bodies with the first drive a share of the way along its travel."""
    return Mechanism(PROJECT).body_poses(SECTION, {DRIVE.name: DRIVE.start + share * (DRIVE.end - DRIVE.start)})


def dragged_and_changed(view, drag, change, ratio):
    """What a view shows at the end of a drag, a change and a drag back; and what it showed after the change."""
    shot(view, ratio)
    drag(view, ratio=ratio)
    change(view)
    first = shot(view, ratio)
    drag(view, first=0.6, last=0.3, ratio=ratio)
    return shot(view, ratio), first
