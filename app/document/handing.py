"""The hand-over at hand: which file with which options, what was made of the project as it is now, and what was written last."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from PySide6.QtCore import QDate, QObject, Qt, QTimer, Signal

from app.document.choice import Choice, section_named
from app.document.document import Document
from app.document.pose_at_hand import PoseAtHand
from app.jobs.asker import Fault
from app.jobs.file_ask import FileAsk, FileKind, Made, PageAsk, PageImage
from app.jobs.file_maker import FileMaker
from core.model.names import BodyName, DriveName, SectionName
from core.model.project import Project

WAIT_MS = 150
"""How long the hand must rest on pose and options before a file is made of them."""

ENDINGS: Final[dict[FileKind, tuple[str, ...]]] = {
    "report": (".html", ".pdf", ".csv"),
    "limits": (".csv", ".json", ".h"),
    "envelope": (".svg",),
    "template": (".pdf",),
    "bench": (".csv",),
    "picture": (".svg", ".png"),
}
SWEPT: Final[tuple[FileKind, ...]] = ("report", "limits")
"""Kinds that rest on a sweep."""
NAMES: Final[dict[FileKind, str]] = {
    "report": "report",
    "limits": "limits",
    "envelope": "envelope",
    "template": "template",
    "bench": "bench sheet",
    "picture": "picture",
}


@dataclass(frozen=True, slots=True)
class Options:
    """What the user asks of the files; names that the project does not have count as not chosen. drives: empty: all of them."""

    date: str
    section: str = ""
    bodies: tuple[str, ...] = ()
    drives: tuple[str, ...] = ()
    grown: bool = False
    first: str = ""
    second: str = ""


def file_stem(name: str) -> str:
    """The name of a project as that of a file: without what a folder refuses or takes for another folder."""
    kept = "".join(letter if letter.isalnum() or letter in " -_." else "-" for letter in name).strip(" .")
    return kept or "bay"


class Handing(QObject):
    """Has a file made whenever it, an option, the pose it shows or the project changes, while it is `on`."""

    changed = Signal()
    paged = Signal(object)
    """A PageImage of the file at hand."""
    written_changed = Signal()

    def __init__(self, document: Document, pose: PoseAtHand, choice: Choice, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document, self._pose, self._choice = document, pose, choice
        self._maker = FileMaker(self)
        self.on = False
        self.kind: FileKind = "report"
        self._endings: dict[FileKind, str] = {kind: endings[0] for kind, endings in ENDINGS.items()}
        self.options = Options(QDate.currentDate().toString(Qt.DateFormat.ISODate))
        self.asked: FileAsk | None = None
        self.made: Made | None = None
        self.share: float | None = None
        self.fault: Fault | None = None
        self.written: tuple[str, Project] | None = None
        self.folder: Path | None = None
        self._wait = QTimer(self, singleShot=True, interval=WAIT_MS)
        self._wait.timeout.connect(self._make)
        self._maker.made.connect(self._take)
        self._maker.paged.connect(self._take_page)
        self._maker.progressed.connect(self._take_share)
        self._maker.failed.connect(self._fail)
        document.project_changed.connect(self._look)
        document.gesture_changed.connect(self._look)
        pose.moved.connect(self._look_at_pose)
        choice.section_changed.connect(self._look)

    @property
    def project(self) -> Project | None:
        """The project at hand."""
        return self._document.project

    @property
    def ending(self) -> str:
        """The ending of the file at hand."""
        return self._endings[self.kind]

    @property
    def fresh(self) -> bool:
        """Whether what was made, or is being made, is of the project, the options and the pose as they are now."""
        return self.asked is not None and self.asked == self._wanted()

    @property
    def ready(self) -> bool:
        """Whether there is a file to write, as things are now."""
        return self.made is not None and bool(self.made.data) and self.fresh

    @property
    def valid(self) -> bool:
        """Whether files can be made: not of a project with faults, and not while an edit goes on."""
        return self.project is not None and self._document.is_valid

    @property
    def unsaved(self) -> bool:
        """Whether the file would be of changes that are not saved."""
        return self._document.has_unsaved_changes

    def set_on(self, *, on: bool) -> None:
        """Begin or end making files."""
        if on != self.on:
            self.on = on
            self._look()

    def choose(self, kind: FileKind, ending: str | None = None) -> None:
        """Take a kind of file in hand, and an ending."""
        self.kind = kind
        if ending is not None:
            self._endings[kind] = ending
        self._look(at_once=True)

    def set_options(self, **options: str | bool | tuple[str, ...]) -> None:
        """Change options, by the names that they have in `Options`."""
        self.options = replace(self.options, **options)  # type: ignore[arg-type]
        self._look()

    def section(self) -> str:
        """The section that is drawn: the one chosen, else the one on the board."""
        chosen = section_named(self.project, SectionName(self.options.section))
        return chosen.name if chosen is not None else self._choice.section or ""

    def bodies(self) -> tuple[BodyName, ...]:
        """Bodies of that section."""
        section = section_named(self.project, SectionName(self.section()))
        return tuple(body.name for body in section.bodies) if section is not None else ()

    def group(self) -> tuple[BodyName, ...]:
        """The bodies of the envelope: those chosen, else those in hand (of a pair the one that moves), else the last that moves."""
        section = section_named(self.project, SectionName(self.section()))
        there = section.bodies if section is not None else ()
        in_hand = self._choice.bodies
        if self._choice.pair is not None:
            in_hand = tuple(body.name for body in there if body.name in in_hand and not body.fixed)[:1] or in_hand[:1]
        for names in (self.options.bodies, in_hand):
            wanted = tuple(body.name for body in there if body.name in names)
            if wanted:
                return wanted
        return tuple(body.name for body in ([body for body in there if not body.fixed] or there)[-1:])

    def running(self) -> tuple[DriveName, ...]:
        """The drives that run for an envelope: those chosen, else all."""
        there = self.drives()
        return tuple(name for name in there if name in self.options.drives) or there

    def drives(self) -> tuple[DriveName, ...]:
        """All drives."""
        return tuple(drive.name for drive in self.project.drives) if self.project else ()

    def file_name(self) -> str:
        """A name for the file, of the project's own name."""
        return f"{file_stem(self.project.name if self.project else '')} {NAMES[self.kind]}{self.ending}"

    def show_pages(self, pages: Iterable[tuple[int, int]]) -> None:
        """Have pages of the file at hand rendered: number and width in device pixels."""
        asked = self.asked
        if asked is not None and self.made is not None:
            self._maker.show_pages(PageAsk(asked, number, width) for number, width in pages)

    def note_written(self, ask: FileAsk, folder: Path) -> None:
        """Remember what has left the program, so that it can be told when it is out of date."""
        self.written, self.folder = (NAMES[ask.kind], ask.project), folder
        self.written_changed.emit()
        self.changed.emit()

    def forget_written(self) -> None:
        """Something else was handed over since."""
        self.written = None

    def end(self) -> None:
        """End what runs, before the window goes."""
        self._wait.stop()
        self._maker.end()

    def _look_at_pose(self) -> None:
        if self.kind == "picture":
            self._look()

    def _look(self, *, at_once: bool = False) -> None:
        if not self.on:
            self._wait.stop()
            if self.asked is not None and self.made is None:
                self._leave()
            return
        self._wait.start(0 if at_once else WAIT_MS)
        self.changed.emit()

    def _leave(self) -> None:
        self._maker.make(None)
        self.asked, self.made, self.share = None, None, None

    def _make(self) -> None:
        if self._document.in_gesture:
            return
        wanted = self._wanted()
        if wanted is None:
            self._leave()
        elif wanted != self.asked or self.fault is not None:
            self.asked, self.made, self.share, self.fault = wanted, None, None, None
            self._maker.make(wanted)
        self.changed.emit()

    def _wanted(self) -> FileAsk | None:
        project, options = self.project, self.options
        if project is None or not self.valid:
            return None
        ask = FileAsk(project, self.kind, self.ending)
        section, bodies, drives = self.section(), self.group(), self.drives()
        if self.kind == "report":
            return replace(ask, date=options.date)
        if self.kind == "limits":
            pair = (DriveName(options.first), DriveName(options.second))
            return replace(ask, table=pair) if len({*pair} & {*drives}) == len(pair) else ask
        if self.kind == "template":
            return replace(ask, section=section)
        if self.kind == "picture":
            return replace(ask, section=section, at=tuple(self._pose.values.items()))
        if self.kind == "envelope" and bodies:
            runs = self.running()
            grow = project.required_gap if options.grown else 0.0
            return replace(ask, section=section, bodies=bodies, drives=() if runs == drives else runs, grow=grow)
        return ask if self.kind == "bench" else None

    def _take(self, ask: FileAsk, made: Made) -> None:
        if ask is self.asked:
            self.made, self.share = made, None
            self.changed.emit()

    def _take_page(self, ask: PageAsk, image: PageImage | None) -> None:
        if ask.file is self.asked and image is not None:
            self.paged.emit(image)

    def _take_share(self, share: float) -> None:
        if self.made is None:
            self.share = share
            self.changed.emit()

    def _fail(self, fault: Fault) -> None:
        self.fault, self.share = fault, None
        self.changed.emit()
