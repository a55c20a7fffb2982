"""The state before the last edit, on the sheet for as long as its key is held: nothing is changed by looking."""

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtGui import QKeyEvent

from app.board.board import Board
from app.board.depth_strip import DepthStrip
from app.document.choice import section_named
from app.document.desk import Desk
from app.document.mechanism import Mechanism
from app.panels import standing
from app.panels.sentence import SentenceBar
from app.panels.standing import Stand
from app.timeline.view import TimelineView

SHOWN_MS = 2000
"""How long it is shown where it was asked for without a key to hold."""


class HeldBefore(QObject):
    """Shows the state before on the views; `put_back` has the sheet show what is at hand again."""

    def __init__(
        self, desk: Desk, views: tuple[Board, DepthStrip, SentenceBar, TimelineView], put_back: Callable[[], object], parent: QObject
    ) -> None:
        super().__init__(parent)
        self._desk, self._put_back = desk, put_back
        self._board, self._strip, self._sentence, self._timeline = views
        self.held = False
        self._end = QTimer(self, interval=SHOWN_MS, singleShot=True)
        self._end.timeout.connect(self.let_go)

    def take_key(self, event: QKeyEvent) -> bool:
        """Whether the key was this one's: held down it shows the state before, and no longer."""
        if event.key() != Qt.Key.Key_B or event.modifiers():
            return False
        if not event.isAutoRepeat():
            if event.type() == QEvent.Type.KeyPress:
                self.hold()
            else:
                self.let_go()
        return True

    def show_a_while(self) -> None:
        """Show it for a moment, for those who hold no key."""
        self.hold()
        self._end.start()

    def hold(self) -> None:
        """Show the state before the last edit, at the pose shown; nothing where there is none, or not this section in it."""
        before, name = self._desk.document.before, self._desk.choice.section
        if before is None or name is None or section_named(before.project, name) is None:
            return
        self.held = True
        poses = Mechanism(before.project).body_poses(name, self._desk.pose.shown)
        for view in (self._board, self._strip):
            show = view.refresh_section if isinstance(view, Board) else view.show_section
            show(before.project, name)
            view.set_poses(poses)
        self._board.set_gap(None)
        stand = Stand(before.project, None, before, self._desk.pose.values, sweeping=False, handed_over=None)
        words, kind = standing.sentence(stand, None, self.tr)
        self._sentence.say(self.tr("Before the last edit: {words}").format(words=f"{words[:1].lower()}{words[1:]}"), kind)
        pair = self._desk.choice.pair
        row = before.timeline.row_of(name, pair) if pair else None
        self._timeline.show_state(
            replace(self._timeline.showing, project=before.project, timeline=before.timeline, before=None, selected=row)
        )

    def let_go(self) -> None:
        """Show what is at hand again."""
        self._end.stop()
        if self.held:
            self.held = False
            self._put_back()
