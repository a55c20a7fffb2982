"""The section at hand on the board and the depth strip: drawn as it is now, and posed."""

from collections.abc import Callable

from PySide6.QtCore import QObject, Signal

from app.board.board import Board
from app.board.depth_strip import DepthStrip
from app.board.marks_kept import Marks
from app.document.choice import section_named
from app.document.desk import Desk
from app.document.mechanism import BodyPoses
from core.model.project import Project, Section


class SectionDrawn(QObject):
    """`section` of `project` is what is drawn; `of` tells which project that is, as the document counts them."""

    another_project = Signal()
    """The first section of another project is about to be drawn."""
    another_section = Signal()

    def __init__(self, desk: Desk, board: Board, strip: DepthStrip, marks: Marks, poses: Callable[[], BodyPoses], parent: QObject) -> None:
        super().__init__(parent)
        self._desk, self._board, self._strip, self._marks, self._poses = desk, board, strip, marks, poses
        self.section: Section | None = None
        self.project: Project | None = None
        self.of = 0

    @property
    def is_at_hand(self) -> bool:
        """Whether what is drawn is the project at hand, in the state it has."""
        return self.project is not None and self.project is self._desk.project

    def show(self) -> None:
        """Draw the section at hand, unless it is drawn already."""
        desk = self._desk
        section, drawn = section_named(desk.project, desk.choice.section), desk.drawn()
        if section is None or drawn is None or (section is self.section and self.is_at_hand):
            return
        if self.of != desk.document.opened:
            self.another_project.emit()
        same = self.section is not None and (self.of, self.section.name) == (desk.document.opened, section.name)
        self.section, self.project, self.of = section, desk.project, desk.document.opened
        (self._board.refresh_section if same else self._board.show_section)(drawn, section.name)
        if not desk.document.in_gesture or self._strip.held:
            self._show_strip(drawn)
        if not same:
            self.another_section.emit()
        self.show_poses()

    def show_rest(self) -> None:
        """What follows a hand on the board a little later than the board: the depths, and the marks of bolted bodies."""
        drawn = self._desk.drawn()
        self._board.place_bolts()
        if drawn is not None:
            self._show_strip(drawn)
            self.show_poses()

    def show_anew(self) -> None:
        """Draw it once more, after something else stood in its place."""
        self.project = None
        self.show()
        self.show_rest()

    def show_poses(self) -> None:
        """Put the bodies where they are; who asks for it tells the gap there."""
        poses = self._poses()
        self._board.set_poses(poses, gap_follows=True)
        self._marks.take_poses(poses)
        self._strip.set_poses(poses)

    def stir(self) -> None:
        """Have the bodies go with the hand; all else that shows where they are follows in `show_poses`."""
        if self.is_at_hand:
            self._board.set_poses(self._poses(), gap_follows=True)

    def _show_strip(self, drawn: Project) -> None:
        if self.section is not None:
            self._strip.show_section(drawn, self.section.name, slabs=self._board.slabs)
