"""A number or a depth band changed by hand: shown and proved while it goes on, one step of the history at its end."""

import math
from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer

from app.document.document import Document
from core.model.edit_bodies import set_depth, shift_depth
from core.model.edit_shapes import set_shape_depth
from core.model.lookup import body_of, section_of
from core.model.names import BodyName, SectionName
from core.model.project import Project
from core.model.shapes import Band

Edit = Callable[[Project], Project]

FRAME_MS = 8
"""States that come faster are passed over, but for the last. Half a frame: those of a hand come a frame apart, and each is shown."""
SAME_BAND = 0.006
"""mm; a band told by the hand is rounded to a hundredth."""


class Adjusting(QObject):
    """One gesture at a time. An edit is worked out from the state at the press, so that small steps never add up."""

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._band: Band = (0.0, 0.0)
        self._next: Edit | None = None
        self._frame = QTimer(self, interval=FRAME_MS, singleShot=True)
        self._frame.timeout.connect(self._go_on)

    def try_out(self, text: str, edit: Edit) -> None:
        """Show what `edit` makes of the state at the press, in a gesture called `text`: at once, or when the frame before is over."""
        if not self._document.in_gesture:
            self._document.begin(text)
        self._next = edit
        if not self._frame.isActive():
            self._go_on()

    def take(self, text: str, edit: Edit) -> bool:
        """End the gesture, or do without one, with `edit` as one step of the history; False where it changes nothing."""
        self._halt()
        if not self._document.in_gesture:
            return self._document.change(text, edit)
        press = self._document.at_press
        if press is not None:
            self._document.preview(edit(press))
        return self._document.commit(text)

    def give_back(self) -> None:
        """End the gesture with the state at the press."""
        self._halt()
        self._document.cancel()

    def drag_band(self, section: SectionName, body: BodyName, band: Band, phase: str) -> None:
        """The hand on a depth band: the whole of it moves the body across the section, an end changes where the band ends."""
        text = self.tr("Depth of {body}").format(body=body)
        if phase == "press":
            self._band = band
            return
        old = self._band
        if phase == "release":
            self.take(text, lambda project: banded(project, section, body, old, band))
        else:
            self.try_out(text, lambda project: banded(project, section, body, old, band))

    def _go_on(self) -> None:
        edit, self._next = self._next, None
        press = self._document.at_press
        if edit is not None and press is not None and self._document.in_gesture:
            self._frame.start()
            self._document.preview(edit(press))

    def _halt(self) -> None:
        self._frame.stop()
        self._next = None


def banded(project: Project, section: SectionName, name: BodyName, old: Band, new: Band) -> Project:
    """The project with a body's band `old` made `new`, mm, as a hand on it tells them. Pure.

    Both ends moved alike: the body is shifted with all its shapes. Otherwise the band of the body, or, where `old` is not
    the body's own, of the shapes that have it.
    """
    body = body_of(section_of(project, section), name)
    by = new[0] - old[0]
    if math.isclose(by, new[1] - old[1], abs_tol=SAME_BAND):
        return shift_depth(project, section, (name,), by)
    if _same(body.depth, old):
        return set_depth(project, section, (name,), _ends_moved(body.depth, old, new))
    for index, shape in enumerate(body.shapes):
        if shape.depth is not None and _same(shape.depth, old):
            project = set_shape_depth(project, section, name, index, _ends_moved(shape.depth, old, new))
    return project


def _same(one: Band, other: Band) -> bool:
    return all(math.isclose(a, b, abs_tol=SAME_BAND) for a, b in zip(one, other, strict=True))


def _ends_moved(band: Band, old: Band, new: Band) -> Band:
    """An end that the hand did not move keeps all its decimals."""
    low, high = (kept if before == after else after for kept, before, after in zip(band, old, new, strict=True))
    return (low, high)
