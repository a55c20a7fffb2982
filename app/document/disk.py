"""Notices when another program changes or replaces the file of the project at hand."""

from PySide6.QtCore import QFileSystemWatcher, QObject, Signal

from app.document.document import Document, digest_of


class DiskWatch(QObject):
    """Watches the document's file. `changed` is told once for each content that is neither the document's nor told before."""

    changed = Signal()

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._told: bytes | None = None
        self._watcher = QFileSystemWatcher(self)
        self._watcher.fileChanged.connect(self.look)
        self._watcher.directoryChanged.connect(self.look)
        document.file_changed.connect(self._follow)

    def look(self) -> None:
        """Compare the file with what was read or written last."""
        self._hold()
        document = self._document
        if document.file is None or not document.differs_on_disk:
            return
        found = digest_of(document.file)
        if found != self._told:
            self._told = found
            self.changed.emit()

    def _follow(self) -> None:
        self._told = None
        self._hold()

    def _hold(self) -> None:
        """Watch the file, and its folder too: a file that is replaced as a whole is no longer the one that was watched."""
        file = self._document.file
        wanted = {str(path) for path in (file, file.parent) if path.exists()} if file is not None else set()
        held = {*self._watcher.files(), *self._watcher.directories()}
        if held - wanted:
            self._watcher.removePaths(sorted(held - wanted))
        if wanted - held:
            self._watcher.addPaths(sorted(wanted - held))
