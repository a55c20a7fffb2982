"""Files from the window's side: choosing, opening, saving, samples and recent files. Every dialog opens without stopping the program."""

import io
import json
from collections.abc import Callable
from functools import partial
from pathlib import Path

import msgspec
from PySide6.QtCore import QObject, QUrl, Signal
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QFileDialog, QWidget

from app.document.desk import Desk
from app.document.handing import file_stem
from app.jobs.file_ask import FileAsk, Made
from app.keeping import Keeping
from app.settings import Settings, read_settings, write_settings
from app.theme import Style
from core.errors import BaysweepError
from core.model.edit_project import new_project
from core.project_file.read import read_project
from core.sentences import finding_sentence, plain, unchecked_reason
from core.sweep.json_form import sweep_as_json

ENDING = ".bay.json"


class Files(QObject):
    """Opens and saves for the desk; says what went wrong in a sentence."""

    refused = Signal(str)
    settings_changed = Signal()

    def __init__(self, desk: Desk, window: QWidget, settings_file: Path, *, state: Path, style: Callable[[], Style]) -> None:
        """`state`: the folder in which unsaved work is kept aside."""
        super().__init__(window)
        self._desk = desk
        self._window = window
        self._settings_file = settings_file
        self.settings: Settings = read_settings(settings_file)
        self._dialog: QFileDialog | None = None
        self.keeping = Keeping(desk.document, window, state, style=style, save=self.save)
        self.keeping.refused.connect(self.refused)

    def new(self) -> None:
        """Begin a project; what is at hand is left as the user says."""
        self.keeping.leave(lambda: self._desk.begin(new_project(self.tr("New bay"), section=self.tr("Side"))))

    def leave_for(self, file: Path, *, sample: bool = False) -> None:
        """Open another project, once what is at hand is left."""
        self.keeping.leave(lambda: self.open_sample(file) if sample else self.open(file))

    def open(self, file: Path) -> bool:
        """Open a project; False, and a sentence, where it cannot be read. What was open then stays."""
        try:
            self._desk.open(file)
        except BaysweepError as refusal:
            self.refused.emit(str(refusal))
            if not file.exists():
                self._keep(self.settings.without_recent(file))
            return False
        self._keep(self.settings.with_recent(file))
        self.keeping.offer_left_behind_of(file)
        return True

    def open_sample(self, file: Path) -> bool:
        """Open a sample, which saving does not overwrite."""
        try:
            self._desk.open(file, as_sample=True)
        except BaysweepError as refusal:
            self.refused.emit(str(refusal))
            return False
        return True

    def ask_open(self) -> None:
        """Let the user choose a project, once what is at hand is left."""
        self.keeping.leave(self._ask_open)

    def _ask_open(self) -> None:
        dialog = self._ask(self.tr("Open a project"), self.tr("Baysweep projects (*{ending})").format(ending=ENDING))
        dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
        dialog.fileSelected.connect(lambda file: self.open(Path(file)))
        dialog.open()

    def save(self, then: Callable[[], object] = lambda: None) -> None:
        """Save to the project's own file, and then do `then`; ask for a file where there is none, or where it is no longer as it was."""
        document, file = self._desk.document, self._desk.document.file
        if file is None:
            self.ask_save_as(then)
        elif document.differs_on_disk:
            self.keeping.ask_over(file, lambda: self._write(file, then), lambda: self.ask_save_as(then))
        else:
            self._write(file, then)

    def ask_save_as(self, then: Callable[[], object] = lambda: None) -> None:
        """Let the user choose where the project is saved; then do `then`."""
        project = self._desk.project
        if project is not None:
            filters = self.tr("Baysweep projects (*{ending})").format(ending=ENDING)
            self._ask_place(self.tr("Save as"), filters, f"{file_stem(project.name)}{ENDING}", ENDING, lambda file: self._write(file, then))

    def ask_hand_over_json(self) -> None:
        """Let the user choose where the answer goes as JSON."""
        if self._desk.result is not None and self._desk.project is not None:
            name = f"{file_stem(self._desk.project.name)}.answer.json"
            self._ask_place(self.tr("Hand over the answer"), self.tr("JSON (*.json)"), name, ".json", self.hand_over_json)

    def hand_over_json(self, file: Path) -> None:
        """Write the answer as the command line's `check --json` gives it."""
        result = self._desk.result
        if result is None:
            return
        written = sweep_as_json(
            result,
            finding_text=lambda finding: finding_sentence(finding, plain),
            unchecked_reason=lambda pair: unchecked_reason(pair, plain),
        )
        if self._write_text(file, json.dumps(written, indent=1, ensure_ascii=False) + "\n"):
            self._desk.hand_over(result)

    def ask_hand_over_text(self) -> None:
        """Let the user choose where the answer goes as text to read."""
        if self._desk.result is not None and self._desk.project is not None:
            name = f"{file_stem(self._desk.project.name)}.answer.txt"
            self._ask_place(self.tr("Hand over the answer"), self.tr("Text (*.txt)"), name, ".txt", self.hand_over_text)

    def hand_over_text(self, file: Path) -> None:
        """Write the answer as the command line's `check --all` prints it."""
        result, project = self._desk.result, self._desk.project
        if result is None or project is None:
            return
        from app.answer_page import print_answer  # noqa: PLC0415 - what sets text takes a while to load, and the window starts without it

        page = io.StringIO()
        print_answer(result, project, everything=True, to=page)
        if self._write_text(file, page.getvalue()):
            self._desk.hand_over(result)

    def ask_hand_over_file(self) -> None:
        """Let the user choose where the file goes that the hand-over shows; its bytes are those shown now."""
        handing = self._desk.handing
        made, ask = handing.made, handing.asked
        if made is None or ask is None or not handing.ready:
            return
        title, filters = self.tr("Hand over a file"), f"{ask.ending[1:].upper()} (*{ask.ending})"
        self._ask_place(title, filters, handing.file_name(), ask.ending, lambda file: self.hand_over_file(file, ask, made))

    def hand_over_file(self, file: Path, ask: FileAsk, made: Made) -> None:
        """Write a file of the hand-over."""
        try:
            file.write_bytes(made.data)
        except OSError as fault:
            self._refuse_write(file, fault)
        else:
            self._desk.handing.note_written(ask, file.parent)

    def open_folder(self) -> None:
        """Show the folder that was written to in the system's own way."""
        folder = self._desk.handing.folder
        if folder is not None and not QDesktopServices.openUrl(QUrl.fromLocalFile(str(folder))):
            self.refused.emit(self.tr("The system has no program that shows folders. The file is in {folder}.").format(folder=folder))

    def keep_motion_down(self, *, down: bool | None) -> None:
        """Keep the user's wish about motion; None follows the system."""
        self._keep(msgspec.structs.replace(self.settings, reduced_motion=down))

    def dialog(self) -> QFileDialog | None:
        """The dialog that is open."""
        return self._dialog

    def _write(self, file: Path, then: Callable[[], object] = lambda: None) -> None:
        try:
            self._desk.document.save(file)
        except BaysweepError as refusal:
            self.refused.emit(str(refusal))
        else:
            self._keep(self.settings.with_recent(file))
            then()

    def _write_text(self, file: Path, text: str) -> bool:
        try:
            file.write_text(text, encoding="utf-8")
        except OSError as fault:
            self._refuse_write(file, fault)
            return False
        return True

    def _refuse_write(self, file: Path, fault: OSError) -> None:
        told = self.tr("{file} was not written: {fault}. Choose another place.")
        self.refused.emit(told.format(file=file.name, fault=fault.strerror))

    def _ask(self, title: str, filters: str) -> QFileDialog:
        dialog = QFileDialog(self._window, title, self.settings.last_folder, filters)
        dialog.finished.connect(dialog.deleteLater)
        dialog.finished.connect(self._forget_dialog)
        self._dialog = dialog
        return dialog

    def _ask_place(self, title: str, filters: str, name: str, ending: str, write: Callable[[Path], None]) -> None:
        dialog = self._ask(title, filters)
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.selectFile(name)
        again = partial(self._ask_place, title, filters, name, ending, write)
        dialog.fileSelected.connect(lambda file: self._take_place(file, ending, write, again))
        dialog.open()

    def _take_place(self, chosen: str, ending: str, write: Callable[[Path], None], again: Callable[[], None]) -> None:
        """Add the ending where it was not typed. The dialog asked about a file of the name typed, not about one of the whole name."""
        file = Path(chosen if chosen.endswith(ending) else chosen + ending)
        if file.exists() and not chosen.endswith(ending):
            self.keeping.ask_replace(file, lambda: write(file), again)
        else:
            write(file)

    def _forget_dialog(self) -> None:
        self._dialog = None

    def _keep(self, settings: Settings) -> None:
        self.settings = settings
        write_settings(self._settings_file, settings)
        self.settings_changed.emit()


def samples(files: dict[str, Path]) -> tuple[tuple[str, str, str], ...]:
    """Key, name and first sentence of each sample project that can be read."""
    found = []
    for name, file in files.items():
        try:
            project = read_project(file)
        except BaysweepError:
            continue
        first, stop, _ = project.notes.partition(". ")
        found.append((name, project.name, first + stop.strip()))
    return tuple(found)
