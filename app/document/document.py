"""The project at hand: its file, its history, and what is known of its gaps. Views watch it and own nothing."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from app.document.answer import Answer
from core.model.project import Project
from core.project_file.read import read_project
from core.project_file.write import write_project
from core.sweep.profile import Profile
from core.sweep.result import SweepResult


class Change(QUndoCommand):
    """One gesture: the project before and after it."""

    def __init__(self, document: "Document", text: str, *, before: Project, after: Project) -> None:
        super().__init__(text)
        self._document = document
        self._before = before
        self._after = after

    def redo(self) -> None:
        self._document.put(self._after)

    def undo(self) -> None:
        self._document.put(self._before)


class Document(QObject):
    """One project, or none. `answer` always belongs to `project`; `before` is the answer of the state before the last edit."""

    project_changed = Signal()
    file_changed = Signal()
    answer_changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.project: Project | None = None
        self.file: Path | None = None
        self.answer: Answer | None = None
        self.before: Answer | None = None
        self.history = QUndoStack(self)
        self.history.cleanChanged.connect(self.file_changed)

    @property
    def has_unsaved_changes(self) -> bool:
        """Whether the project differs from its file."""
        return self.project is not None and not self.history.isClean()

    def open(self, file: Path, *, as_sample: bool = False) -> None:
        """Read `file`; a sample is not written back to, so it opens without a file of its own. Raises ProjectFileError."""
        self.show(read_project(file), file=None if as_sample else file)

    def show(self, project: Project, *, file: Path | None = None) -> None:
        """Take `project` as the one at hand, with an empty history."""
        self.file = file
        self.before = None
        self.history.clear()
        self.put(project)
        self.file_changed.emit()

    def close(self) -> None:
        """Have no project at hand."""
        self.project = self.file = self.answer = self.before = None
        self.history.clear()
        self.project_changed.emit()
        self.file_changed.emit()

    def save(self, file: Path) -> None:
        """Write the project to `file`, which becomes its own. Raises ProjectFileError and then changes nothing."""
        if self.project is None:
            return
        write_project(self.project, file)
        self.file = file
        self.history.setClean()
        self.file_changed.emit()

    def change(self, text: str, edit: Callable[[Project], Project]) -> bool:
        """Apply `edit` as one step of the history called `text`; False where it changes nothing."""
        if self.project is None or (after := edit(self.project)) == self.project:
            return False
        self.history.push(Change(self, text, before=self.project, after=after))
        return True

    def put(self, project: Project) -> None:
        """Show `project` as it is, without a step in the history: the way back and forth along it."""
        if self.answer and self.answer.result:
            self.before = self.answer
        self.project = project
        self.answer = Answer(project)
        self.project_changed.emit()

    def take_profiles(self, project: Project, profiles: tuple[Profile, ...]) -> None:
        """Keep sampled gaps, unless they belong to a state that is gone."""
        if self.answer and project is self.project:
            self.answer = self.answer.with_profiles(profiles)
            self.answer_changed.emit()

    def take_result(self, project: Project, result: SweepResult) -> None:
        """Keep what is proved, unless it belongs to a state that is gone."""
        if self.answer and project is self.project:
            self.answer = self.answer.with_result(result)
            self.answer_changed.emit()
