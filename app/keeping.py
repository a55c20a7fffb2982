"""Nothing is lost unasked.

Leaving with changes asks once, a file that another program changed is not written over in silence, and work that a crash left
behind is offered.
"""

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtCore import QDateTime, QLocale, QObject, QTimer, Signal
from PySide6.QtWidgets import QWidget

from app.document.aside import Aside, Found, left_behind, throw_away
from app.document.disk import DiskWatch
from app.document.document import Document
from app.panels.question import Question
from app.theme import Style
from core.errors import BaysweepError
from core.project_file.read import read_project

Then = Callable[[], object]


class Keeping(QObject):
    """Asks for the document over `window`, one question at a time. `save` writes it and then does what is handed to it."""

    refused = Signal(str)

    def __init__(
        self, document: Document, window: QWidget, folder: Path, *, style: Callable[[], Style], save: Callable[[Then], None]
    ) -> None:
        super().__init__(window)
        self._document = document
        self._window = window
        self._folder = folder
        self._style = style
        self._save = save
        self.aside = Aside(document, folder, parent=self)
        self.disk = DiskWatch(document, self)
        self.disk.changed.connect(self._tell_changed)
        self.question: Question | None = None

    def leave(self, then: Then) -> None:
        """Do `then`, which lets the project at hand go; with unsaved changes only once the user has said what becomes of them."""
        document = self._document
        if not document.has_unsaved_changes or document.project is None:
            then()
            return
        if self.question is not None:
            return

        def answer(key: str) -> None:
            if key == "save":
                self._save(then)
            elif key == "discard":
                self.aside.put_away()
                then()

        told = self.tr("{name} has changes that are not saved.").format(name=document.project.name)
        answers = (("save", self.tr("Save")), ("discard", self.tr("Do not save")), ("leave", self.tr("Go on drawing")))
        self._ask(self.tr("Save the changes?"), (told,), answers, answer)

    def ask_over(self, file: Path, write: Then, elsewhere: Then) -> None:
        """The file holds what another program wrote: write over it, or elsewhere, only where the user says so."""

        def answer(key: str) -> None:
            if key == "over":
                write()
            elif key == "elsewhere":
                elsewhere()

        told = self.tr("{file} was changed by another program since it was read here. Saving over it takes those changes away.")
        answers = (
            ("elsewhere", self.tr("Save as another file")),
            ("over", self.tr("Save over it")),
            ("leave", self.tr("Leave both as they are")),
        )
        self._ask(self.tr("Save over the other changes?"), (told.format(file=file.name),), answers, answer)

    def ask_replace(self, file: Path, write: Then, elsewhere: Then) -> None:
        """There is a file of the name with its ending added, which no dialog asked about: replace it only where the user says so."""

        def answer(key: str) -> None:
            if key == "replace":
                write()
            elif key == "elsewhere":
                elsewhere()

        told = self.tr("{file} is there already. What is in it now would be gone.").format(file=file.name)
        answers = (
            ("elsewhere", self.tr("Choose another name")),
            ("replace", self.tr("Replace it")),
            ("leave", self.tr("Leave it as it is")),
        )
        self._ask(self.tr("Replace the file?"), (told,), answers, answer)

    def offer_left_behind(self) -> None:
        """Offer the newest work that a crash left behind, and then the next."""
        found = left_behind(self._folder)
        if found and self._document.project is None:
            self._offer(found[0], found[1:])

    def offer_left_behind_of(self, file: Path) -> None:
        """Offer the work on the file that was just opened which a crash left behind, the newest first."""
        found = tuple(one for one in left_behind(self._folder) if one.file is not None and one.file.resolve() == file.resolve())
        if found and self.question is None:
            self._offer(found[0], found[1:])

    def end(self) -> None:
        """The window goes for good: what is kept aside is no longer needed."""
        self.aside.put_away()
        if self.question is not None:
            self.question.close()

    def _offer(self, found: Found, more: Sequence[Found]) -> None:
        def answer(key: str) -> None:
            if key == "take":
                self._document.show(found.project, file=found.file, saved=False)
                self.aside.keep()
                throw_away(found)
            elif key == "throw":
                throw_away(found)
                if more:
                    self._offer(more[0], more[1:])

        told = [what_it_holds(found, self.tr), self.tr("The program ended before it was saved.")]
        if found.file is not None:
            told.append(self.tr("Its file, {file}, is as it was saved last.").format(file=found.file))
        answers = (("take", self.tr("Go on with it")), ("throw", self.tr("Throw it away")), ("leave", self.tr("Later")))
        self._ask(self.tr("Work that was not saved was found"), told, answers, answer)

    def _tell_changed(self) -> None:
        file = self._document.file
        if file is None or self.question is not None:
            return

        def answer(key: str) -> None:
            if key == "read":
                self._read_again(file)

        told = [self.tr("{file} was changed by another program.").format(file=file.name)]
        if self._document.has_unsaved_changes:
            told.append(self.tr("Your own changes are not saved. Reading it is one step that undo takes back."))
        answers = (("read", self.tr("Read it again")), ("leave", self.tr("Keep what is here")))
        self._ask(self.tr("The file was changed"), told, answers, answer)

    def _read_again(self, file: Path) -> None:
        try:
            project = read_project(file, allow_invalid=True)
        except BaysweepError as refusal:
            self.refused.emit(str(refusal))
            return
        self._document.take_from_disk(self.tr("Read {file} again").format(file=file.name), project)

    def _ask(self, head: str, sentences: Sequence[str], answers: Sequence[tuple[str, str]], answer: Callable[[str], None]) -> None:
        question = Question(self._style(), head, sentences, answers, self._window)
        self.question = question

        def take(key: str) -> None:
            self.question = None
            # in a turn of its own: what follows may close the window that the question belongs to
            QTimer.singleShot(0, self, lambda: answer(key))

        question.answered.connect(take)
        question.ask()


def what_it_holds(found: Found, tr: Callable[[str], str]) -> str:
    """What was left behind and from when: "Lamp, with 12 bodies and 3 drives, from 27 Nov 2026 16:51."."""
    bodies = sum(len(section.bodies) for section in found.project.sections)
    when = QDateTime.fromMSecsSinceEpoch(int(found.when.timestamp() * 1000))
    told = tr("{name}, with {bodies} and {drives}, from {when}.")
    return told.format(
        name=found.project.name,
        bodies=tr("1 body") if bodies == 1 else tr("{number} bodies").format(number=bodies),
        drives=tr("1 drive") if len(found.project.drives) == 1 else tr("{number} drives").format(number=len(found.project.drives)),
        when=QLocale().toString(when, QLocale.FormatType.ShortFormat),
    )
