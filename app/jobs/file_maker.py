"""Files of the hand-over in the background: one frozen question in, the file's bytes out, then images of the pages asked for."""

from collections.abc import Iterable

from PySide6.QtCore import QObject, Signal

from app.jobs.asker import Asker, Fault
from app.jobs.file_ask import FileAsk, PageAsk
from app.jobs.work import Kind


class FileMaker(QObject):
    """Makes one file at a time; a newer one ends the one before, and its pages. The process starts with the first question."""

    made = Signal(object, object)
    """FileAsk, Made."""
    paged = Signal(object, object)
    """PageAsk, PageImage."""
    progressed = Signal(float)
    failed = Signal(object)
    """Fault: there will be no file."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pages: list[PageAsk] = []
        self._busy = False
        self._asker = Asker(self)
        self._asker.told.connect(self._take)
        self._asker.failed.connect(self._fail)

    @property
    def busy(self) -> bool:
        """Whether a file or a page is being made."""
        return self._busy

    def make(self, ask: FileAsk | None) -> None:
        """Make this; None ends what is being made."""
        self._pages = []
        self._busy = ask is not None
        self._asker.ask(ask)

    def show_pages(self, pages: Iterable[PageAsk]) -> None:
        """Render these, in this order, once what is being made is done; those asked for before and not begun are left."""
        self._pages = list(pages)
        if not self._busy:
            self._go_on()

    def end(self) -> None:
        """Let the process go, for when the window closes; no signal follows."""
        self._asker.end()

    def _take(self, ask: FileAsk | PageAsk, kind: Kind, what: object) -> None:
        if kind == "progressed" and isinstance(what, float):
            self.progressed.emit(what)
        elif kind == "made":
            self.made.emit(ask, what)
        elif kind == "paged":
            self.paged.emit(ask, what)
        elif kind == "finished":
            self._busy = False
            self._go_on()

    def _go_on(self) -> None:
        if self._pages:
            self._busy = True
            self._asker.ask(self._pages.pop(0))

    def _fail(self, _ask: object, fault: Fault) -> None:
        self._pages = []
        self._busy = False
        self.failed.emit(fault)
