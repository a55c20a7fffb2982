"""Bodies moved by dragging in Outline: one gesture, worked out from the state at the press."""

from PySide6.QtCore import QObject

from app.ahead import Ahead
from app.board.tools.moved_by import Hold, held_at
from app.board.tools.places import places
from app.document.choice import Choice
from app.document.document import Document
from app.document.handwork import Handwork
from core.model.edit_placing import place_bodies
from core.model.names import BodyName
from core.model.placing import moving
from core.model.project import Section
from core.model.shapes import Point

GRID = 1.0
"""mm; the step of what snaps to the grid."""


class Moving(QObject):
    """Drags what is picked, where the body under the pointer is among it, or else that body alone, which is picked then."""

    def __init__(self, document: Document, choice: Choice, handwork: Handwork, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document, self._choice, self._handwork = document, choice, handwork
        self._start: Point = (0.0, 0.0)
        self._hold: tuple[object, Hold] | None = None
        self._ahead = Ahead(self)

    def make_ready(self) -> None:
        """Find ahead what the bodies of the section shown offer to snap to: for many it takes longer than a frame."""
        section = self._handwork.section
        self._ahead.begin(places(body) for body in (section.bodies if section is not None else ()))

    def drag(self, body: BodyName, at: Point, phase: str, *, within: float) -> None:
        """Follow the pointer at `at` mm; `within` mm is how far a snap reaches, 0 for none."""
        if phase == "press":
            alone = body not in self._handwork.picked
            self._start = at
            self._document.begin(self.tr("Move {names}").format(names=body if alone else self._handwork.names()))
            if alone:
                self._choice.pick_bodies((body,))
        elif phase == "move":
            self._move(at, within)
        else:
            self._hold = None
            self._document.commit()

    def _move(self, at: Point, within: float) -> None:
        section, project = self._handwork.section, self._document.at_press
        if section is None or project is None or not self._document.in_gesture:
            return
        picked = frozenset(self._handwork.picked)
        names = [body.name for body in section.bodies if body.name in picked and not body.view.held]
        shift = self._held(section, names, within).moved_by(at)
        self._document.preview(place_bodies(project, section.name, names, moving(shift=shift)), moved=True)

    def _held(self, section: Section, names: list[BodyName], within: float) -> Hold:
        """What is held: the same from move to move, unless the view or the key that turns snapping off has changed."""
        told = (section.name, names, self._start, within, id(self._document.at_press))
        if self._hold is None or self._hold[0] != told:
            self._hold = told, held_at(section, names, self._start, within=within, grid=GRID)
        return self._hold[1]
