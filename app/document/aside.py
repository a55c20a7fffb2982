"""Work that is not saved, kept aside every few seconds, and found again after a crash.

Each window writes one file of its own into a folder of the user's, beside a lock that lives as long as its process. A file whose
lock can be taken belongs to a window that is gone without having put it away.
"""

import json
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from uuid import uuid4

from PySide6.QtCore import QLockFile, QObject, QTimer

from app.document.document import Document
from core.errors import BaysweepError
from core.model.project import Project
from core.project_file.read import project_from_bytes
from core.project_file.write import project_to_bytes, replace_file

EVERY_MS = 3000
"""A change is aside no later than this."""

ENDING, LOCK = ".aside.json", ".lock"
VERSION = 1


@dataclass(frozen=True, slots=True)
class Found:
    """Work left behind: the project, the file it came from (None: never saved), and when it was kept aside."""

    project: Project
    file: Path | None
    when: datetime
    place: Path


def aside_to_bytes(project: Project, file: Path | None, when: datetime) -> bytes:
    """What is kept aside: the project in its own form, its file and the time."""
    head = json.dumps(
        {"baysweep_aside": VERSION, "file": None if file is None else str(file), "when": when.isoformat()}, ensure_ascii=False
    )
    return f"{head}\n".encode() + project_to_bytes(project)


def aside_from_bytes(data: bytes, place: Path) -> Found | None:
    """What was kept aside; None where it cannot be understood."""
    first, _, rest = data.partition(b"\n")
    try:
        head = json.loads(first)
        if head["baysweep_aside"] != VERSION:
            return None
        file = None if head["file"] is None else Path(head["file"])
        project = project_from_bytes(rest, file=None, allow_invalid=True)
        return Found(project, file, datetime.fromisoformat(head["when"]), place)
    except (ValueError, KeyError, TypeError, BaysweepError):
        return None


class Aside(QObject):
    """Keeps the document's unsaved work in `folder`, for as long as it is unsaved. `every_ms` after the first change, and again."""

    def __init__(self, document: Document, folder: Path, *, every_ms: int = EVERY_MS, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._folder = folder
        self._name = uuid4().hex
        self._lock: QLockFile | None = None
        self._kept: Project | None = None
        self._written = False
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(every_ms)
        self._timer.timeout.connect(self.keep)
        document.project_changed.connect(self._take)
        document.file_changed.connect(self._take)

    @property
    def place(self) -> Path:
        """Where this window keeps its work."""
        return self._folder / f"{self._name}{ENDING}"

    def keep(self) -> bool:
        """Write what is not saved now; False where there is nothing to keep, or the folder cannot be written."""
        document = self._document
        project = document.at_press
        if project is None or not document.has_unsaved_changes:
            self.put_away()
            return False
        if project is self._kept:
            return True
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            self._hold()
            self._written = True
            replace_file(self.place, aside_to_bytes(project, document.file, datetime.now(UTC)))
        except (OSError, BaysweepError):  # a full disk, or a name with no place in a file: the work goes on without a net
            return False
        self._kept = project
        return True

    def put_away(self) -> None:
        """There is nothing to keep: saved, closed or thrown away."""
        self._timer.stop()
        self._kept = None
        if self._written:  # a hand asks for this at every move
            with suppress(OSError):
                self.place.unlink(missing_ok=True)
                self._written = False
        if self._lock is not None:
            self._lock.unlock()
            self._lock = None

    def _hold(self) -> None:
        if self._lock is None:
            lock = QLockFile(str(self._folder / f"{self._name}{LOCK}"))
            lock.setStaleLockTime(0)  # only a process that is gone leaves a lock, however old
            if lock.tryLock(0):
                self._lock = lock

    def _take(self) -> None:
        if not self._document.has_unsaved_changes:
            self.put_away()
        elif not self._timer.isActive():
            self._timer.start()


def left_behind(folder: Path) -> tuple[Found, ...]:
    """Work of windows that are gone, newest first. What cannot be understood is passed over and left where it is."""
    found = []
    for place in sorted(folder.glob(f"*{ENDING}")):
        lock = QLockFile(str(place.with_name(place.name.removesuffix(ENDING) + LOCK)))
        lock.setStaleLockTime(0)
        if not lock.tryLock(0):
            continue
        lock.unlock()
        try:
            kept = aside_from_bytes(place.read_bytes(), place)
        except OSError:
            continue
        if kept is not None:
            found.append(kept)
    return tuple(sorted(found, key=lambda kept: kept.when, reverse=True))


def throw_away(found: Found) -> None:
    """Forget work that was left behind."""
    found.place.unlink(missing_ok=True)
