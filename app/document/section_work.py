"""What the user does to whole sections, each one step of the history, with a name that says what went along."""

from collections.abc import Callable

from PySide6.QtCore import QObject

from app.document.choice import Choice
from app.document.document import Document
from app.document.what_went import with_what_went
from core.model.edit_sections import add_section, call_section, delete_section, duplicate_section, reorder_section
from core.model.names import SectionName
from core.model.project import Project


class SectionWork(QObject):
    """Works on the section shown. Every method says whether it changed anything."""

    def __init__(self, document: Document, choice: Choice, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document, self._choice = document, choice

    def names(self) -> tuple[SectionName, ...]:
        """The sections, in their order."""
        project = self._document.project
        return tuple(section.name for section in project.sections) if project else ()

    def add(self) -> bool:
        """An empty section at the end, which is shown."""
        return self._then_show(self.tr("Add a section"), add_section, lambda names: len(names) - 1)

    def duplicate(self) -> bool:
        """A copy of the section shown, right after it, which is shown."""
        name, place = self._choice.section, self._place()
        if name is None or place is None:
            return False
        text = self.tr("Duplicate {section}").format(section=name)
        return self._then_show(text, lambda project: duplicate_section(project, name), lambda _names: place + 1)

    def rename(self, new: str) -> bool:
        """Call the section shown otherwise; a taken name gives the next free one. An empty name changes nothing."""
        name, place = self._choice.section, self._place()
        if name is None or place is None or not new.strip():
            return False
        text = self.tr("Rename {old} to {new}").format(old=name, new=new.strip())
        return self._then_show(text, lambda project: call_section(project, name, new), lambda _names: place)

    def reorder(self, by: int) -> bool:
        """Put the section shown earlier (-1) or later (1) among all; it stays shown."""
        name, place = self._choice.section, self._place()
        if name is None or place is None or not 0 <= place + by < len(self.names()):
            return False
        text = self.tr("Reorder {section}").format(section=name)
        return self._document.change(text, lambda project: reorder_section(project, name, to=place + by))

    def delete(self) -> bool:
        """Delete the section shown with all that is in it; the one that takes its place is shown. The last one stays."""
        name, place, project = self._choice.section, self._place(), self._document.at_press
        if name is None or place is None or project is None or len(project.sections) == 1:
            return False
        deleted = delete_section(project, name)
        text = with_what_went(self.tr("Delete {section}").format(section=name), deleted.gone, self.tr)
        return self._then_show(text, lambda _project: deleted.project, lambda names: min(place, len(names) - 1))

    def show(self, by: int) -> None:
        """Show the next section, or the one before, round and round."""
        names, place = self.names(), self._place()
        if place is not None:
            self._choice.pick_section(names[(place + by) % len(names)])

    def _place(self) -> int | None:
        names = self.names()
        return names.index(self._choice.section) if self._choice.section in names else None

    def _then_show(self, text: str, edit: Callable[[Project], Project], shown: Callable[[tuple[SectionName, ...]], int]) -> bool:
        if not self._document.change(text, edit):
            return False
        names = self.names()
        self._choice.pick_section(names[shown(names)])
        return True
