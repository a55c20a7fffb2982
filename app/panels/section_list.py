"""The sections of the project in the side panel: which there are, the one shown marked, and what can be done to it.

A project of one section shows one quiet line.
"""

from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app import theme
from app.document.section_work import SectionWork
from app.panels.flow import Flowing
from app.panels.name_field import NameField
from app.panels.word_row import Ways, WordRow, add_quiet_word, focused, give_focus
from app.panels.words import Word, as_tip, clear_layout
from app.theme import Style
from core.model.names import SectionName

MOST_WIDTH = 130
"""Logical pixels that a name takes before it is cut off."""


class SectionList(QWidget):
    """`words` holds the words by their keys: "show Side" and so on, and what can be done."""

    picked = Signal(str)
    """A section to show."""

    def __init__(self, style: Style, work: SectionWork) -> None:
        super().__init__()
        self._style, self._work = style, work
        self._made: object = None
        self._shown: SectionName | None = None
        self.words: dict[str, Word] = {}
        self.name: NameField | None = None
        self.setAccessibleName(self.tr("Sections"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 8, 0)
        column.setSpacing(0)

    def show_sections(self, names: tuple[SectionName, ...], shown: SectionName | None) -> None:
        """Show these sections, `shown` marked. What is built stays while it is of the same names."""
        made = (names, shown)
        if made == self._made:
            return
        self._made, self._shown = made, shown
        self._build(names)

    def begin_rename(self) -> None:
        """Put a field in the place of the name of the section shown. Enter takes what is typed; Esc and leaving put it back."""
        if self._shown is not None and self.name is None:
            self._build(self._work.names(), renaming=True)

    def set_style(self, style: Style) -> None:
        self._style = style

    def _build(self, names: tuple[SectionName, ...], *, renaming: bool = False) -> None:
        at = focused(self.words)
        clear_layout(self)
        self.words, self.name = {}, self._field(self._shown) if renaming and self._shown is not None else None
        layout = self.layout()
        if layout is None or not names:
            return
        several = len(names) > 1
        if self.name is not None:
            layout.addWidget(self.name)
        if several:
            layout.addWidget(self._names(names, but=self._shown if renaming else None))
        head = "" if several or renaming else self.tr("One section, {name}:").format(name=names[0])
        row = WordRow(self._style, head, self._ways(several=several))
        self.words |= row.words
        layout.addWidget(row)
        if self.name is not None:
            self.name.setFocus()
            self.name.selectAll()
        else:
            give_focus(self.words, at)

    def _field(self, shown: SectionName) -> NameField:
        field = NameField(self._style, self.tr("Name of the section"), shown)
        field.taken.connect(self._rename)
        field.left.connect(self._end_rename)
        return field

    def _names(self, names: tuple[SectionName, ...], *, but: SectionName | None) -> QWidget:
        holder = Flowing(self._style)
        head = self.tr("Sections")
        holder.setAccessibleName(head)
        add_quiet_word(holder.flow, head)
        for name in names:
            if name == but:
                continue
            word = Word(self._style, name, size=theme.DATA, checkable=True)
            word.setAccessibleName(self.tr("Section {name}").format(name=name))
            word.setMaximumWidth(MOST_WIDTH)
            word.setToolTip(as_tip(name))
            word.setChecked(name == self._shown)
            word.clicked.connect(partial(self._pick, name, word))
            self.words[f"show {name}"] = word
            holder.flow.addWidget(word)
        return holder

    def _ways(self, *, several: bool) -> Ways:
        work = self._work
        rename = {"rename": (self.tr("rename"), self.begin_rename)}
        add = {"add": (self.tr("add"), work.add), "duplicate": (self.tr("duplicate"), work.duplicate)}
        if not several:
            return {**rename, **add}
        moves = {"earlier": (self.tr("earlier"), lambda: work.reorder(-1)), "later": (self.tr("later"), lambda: work.reorder(1))}
        return {**rename, **moves, **add, "delete": (self.tr("delete"), work.delete)}

    def _pick(self, name: SectionName, word: Word, _on: bool = False) -> None:  # noqa: FBT001, FBT002 - what a click tells
        word.setChecked(name == self._shown)
        self.picked.emit(name)

    def _rename(self, new: str) -> None:
        if not self._work.rename(new):
            self._end_rename()

    def _end_rename(self) -> None:
        if self.name is not None:
            self._build(self._work.names())
