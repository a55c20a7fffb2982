"""The project at hand: its file, its history, and what is known of its gaps. Views watch it and own nothing.

An edit is one call, `change`, or a gesture: `begin` at the press, `preview` while it goes on, `commit` or `cancel` at its end. A
preview is worked out from `at_press`, the state at the press, so that small steps never add up. A project with faults is kept
like any other; `findings` tells them, and it is not swept until they are mended.
"""

from collections.abc import Callable
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from app.document.answer import Answer, RowMaker
from app.document.let_go import LetGo, answer_gone
from core.model.finding import Finding
from core.model.project import Project
from core.model.validate import is_valid, validate
from core.project_file.read import read_project
from core.project_file.write import write_project
from core.sweep.profile import Profile
from core.sweep.result import SweepResult
from core.sweep.timeline import timeline


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


@dataclass(frozen=True, slots=True)
class Press:
    """What stood when a gesture began."""

    text: str
    project: Project
    answer: Answer | None
    before: Answer | None
    valid: bool


def digest_of(file: Path) -> bytes | None:
    """A digest of what a file holds; None where there is none, or none that can be read."""
    try:
        return sha256(file.read_bytes()).digest()
    except (OSError, ValueError):
        return None


class Document(QObject):
    """One project, or none. `answer` always belongs to `project`; `before` is the answer of the state before the last edit.

    `opened` counts the projects taken at hand: it tells an edit of one from another project. `digest` is of the file as it
    was read or written last, so that another program's changes to it are noticed. `rows` makes the rows of an answer.
    """

    project_changed = Signal()
    gesture_changed = Signal()
    file_changed = Signal()
    answer_changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.project: Project | None = None
        self.file: Path | None = None
        self.answer: Answer | None = None
        self.before: Answer | None = None
        self.digest: bytes | None = None
        self.opened = 0
        self.rows: RowMaker = timeline
        self.let_go = LetGo(self)
        self._press: Press | None = None
        self._findings: tuple[Project, tuple[Finding, ...]] | None = None
        self._moved: Project | None = None
        self.history = QUndoStack(self)
        self.history.cleanChanged.connect(self.file_changed)

    @property
    def has_unsaved_changes(self) -> bool:
        """Whether the project differs from its file."""
        return self.project is not None and not self.history.isClean()

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What is wrong with the project at hand; `core.model.validate` of it, asked once a state."""
        if self.project is None:
            return ()
        if self._findings is None or self._findings[0] is not self.project:
            self._findings = (self.project, validate(self.project))
        return self._findings[1]

    @property
    def is_valid(self) -> bool:
        """Whether the project at hand can be swept."""
        return self.project is not None and is_valid(self.findings)

    @property
    def draws_whole(self) -> bool:
        """Whether all of the project at hand can be drawn: it is valid, or it is a valid one of which bodies stand elsewhere."""
        return self.project is not None and (self._moved is self.project or self.is_valid)

    @property
    def in_gesture(self) -> bool:
        """Whether a gesture has begun and not ended: what is shown is not in the history yet."""
        return self._press is not None

    @property
    def at_press(self) -> Project | None:
        """The state at the press, from which every preview of a gesture is worked out; without one, the project at hand."""
        return self._press.project if self._press else self.project

    @property
    def differs_on_disk(self) -> bool:
        """Whether its file holds something else than was read from it or written to it last. A file that is gone does not."""
        if self.file is None:
            return False
        found = digest_of(self.file)
        return found is not None and found != self.digest

    def open(self, file: Path, *, as_sample: bool = False) -> None:
        """Read `file`, with its faults if it has any; a sample gets no file of its own, so that it is never written back to.

        Raises ProjectFileError for what is no project.
        """
        # before reading: what is written in between is noticed later rather than never
        digest = None if as_sample else digest_of(file)
        self.show(read_project(file, allow_invalid=True), file=None if as_sample else file, digest=digest)

    def show(self, project: Project, *, file: Path | None = None, digest: bytes | None = None, saved: bool = True) -> None:
        """Take `project` as the one at hand, with an empty history. `saved` False: it is not in its file as it is."""
        self._press = None
        self.opened += 1
        self.file = file
        self.digest = digest
        self.before = None
        self.history.clear()
        if not saved:
            self.history.resetClean()
        self.put(project)
        self.file_changed.emit()

    def close(self) -> None:
        """Have no project at hand."""
        self._press = None
        self.project = self.file = self.answer = self.before = self.digest = None
        self.history.clear()
        self.project_changed.emit()
        self.file_changed.emit()

    def save(self, file: Path) -> None:
        """Write the project to `file`, which becomes its own. Raises ProjectFileError and then changes nothing."""
        if self.project is None:
            return
        self.cancel()
        write_project(self.project, file)
        self.file = file
        self.digest = digest_of(file)
        self.history.setClean()
        self.file_changed.emit()

    def change(self, text: str, edit: Callable[[Project], Project]) -> bool:
        """Apply `edit` as one step of the history called `text`; False where it changes nothing. A gesture that goes on is cancelled."""
        self.cancel()
        if self.project is None or (after := edit(self.project)) == self.project:
            return False
        self.history.push(Change(self, text, before=self.project, after=after))
        return True

    def take_from_disk(self, text: str, project: Project) -> None:
        """Take what its file holds now, as one step called `text`; from there the project is saved."""
        if self.file is None:
            return
        self.digest = digest_of(self.file)
        self.change(text, lambda _project: project)
        self.history.setClean()
        self.file_changed.emit()

    def begin(self, text: str) -> None:
        """Begin a gesture called `text`; one that goes on is cancelled."""
        self.cancel()
        if self.project is not None:
            self._press = Press(text, self.project, self.answer, self.before, self.is_valid)
            self.gesture_changed.emit()

    def preview(self, project: Project, *, moved: bool = False) -> None:
        """Show what the gesture would make of the state at the press. Without a gesture nothing happens.

        moved: bodies and their joints stand elsewhere and nothing else has changed, so that it is as sound as that state. Judging
        many bodies at every move would take a good part of a frame.
        """
        if self._press is None or project is self.project:
            return
        self._moved = project if moved and self._press.valid else None
        self.before = self._press.answer if self._press.answer and self._press.answer.result else self._press.before
        self.project = project
        self.answer = self._press.answer if project is self._press.project else Answer(project)
        self.project_changed.emit()

    def commit(self, text: str | None = None) -> bool:
        """End the gesture as one step of the history; False, and no step, where it came to nothing. `text` may name it anew."""
        press, after = self._press, self.project
        if press is None or after is None:
            return False
        self._press = None
        self.project, self.answer, self.before = press.project, press.answer, press.before
        if after == press.project:
            self.project_changed.emit()
        else:
            self.history.push(Change(self, press.text if text is None else text, before=press.project, after=after))
        self.gesture_changed.emit()
        return after != press.project

    def cancel(self) -> None:
        """End the gesture and show the state at the press; without a gesture nothing happens."""
        if self._press is None:
            return
        press, self._press = self._press, None
        self.project, self.answer, self.before = press.project, press.answer, press.before
        self.project_changed.emit()
        self.gesture_changed.emit()

    def put(self, project: Project) -> None:
        """Show `project` as it is, without a step in the history: the way back and forth along it."""
        self._press = None
        if self.answer and self.answer.result:
            gone, self.before = self.before, self.answer
            if gone is not None and gone is not self.answer:
                self.let_go.take(answer_gone(gone))
        self.project = project
        self.answer = Answer(project)
        self.project_changed.emit()

    def take_profiles(self, project: Project, profiles: tuple[Profile, ...]) -> None:
        """Keep sampled gaps, unless they belong to a state that is gone."""
        if self.answer and project is self.project:
            self.answer = self.answer.with_profiles(profiles, self.rows)
            self.answer_changed.emit()

    def take_result(self, project: Project, result: SweepResult) -> None:
        """Keep what is proved, unless it belongs to a state that is gone."""
        if self.answer and project is self.project:
            self.answer = self.answer.with_result(result, self.rows)
            self.answer_changed.emit()
