"""The verdict that follows an edit while it goes on, until the whole answer is there."""

from PySide6.QtCore import QObject, QTimer, Signal

from app.document.document import Document
from core.model.project import Project
from core.sweep.result import SweepResult

PATIENCE_MS = 400
"""How long the verdict of the state before stays while that of the state at hand is found."""


class Live(QObject):
    """Remembers the verdict found last of a state that the edit passed through. Owns no project."""

    changed = Signal()

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._found: tuple[Project, SweepResult] | None = None
        self._patience = QTimer(self, interval=PATIENCE_MS, singleShot=True)
        self._patience.timeout.connect(self.changed)

    @property
    def found(self) -> tuple[Project, SweepResult] | None:
        """The state and verdict to tell of; None where the whole answer is there, or where it has become too old."""
        answer = self._document.answer
        if self._found is None or answer is None or answer.result is not None or not (self.fresh or self._document.in_gesture):
            return None
        return self._found if self.fresh or self._patience.isActive() else None

    @property
    def fresh(self) -> bool:
        """Whether the verdict is that of the state at hand."""
        return self._found is not None and self._found[0] is self._document.project

    def wait(self) -> None:
        """Another state is at hand; its verdict has been asked for."""
        if not self._patience.isActive():
            self._patience.start()

    def take(self, project: Project, result: SweepResult) -> None:
        """Keep the verdict of a state of the gesture that goes on, or of the one at hand."""
        self._found = (project, result)
        if self.fresh:
            self._patience.stop()
        else:
            self._patience.start()
        self.changed.emit()

    def forget(self) -> None:
        """Another project is taken at hand."""
        self._found = None
