"""Picks one of many things by words, under headings: a field to find it by, and a list. Enter picks, Esc leaves."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QDialog, QHBoxLayout, QLineEdit, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from app import theme
from app.palette import palette_of
from app.panels.scroll import ThinBar
from app.panels.words import Line, Word
from app.theme import Style

WIDTH, HEIGHT = 460, 480
KEY = Qt.ItemDataRole.UserRole
Choices = Sequence[tuple[str, Sequence[tuple[str, str]]]]
"""Headings, each with the keys and words of what stands under it."""


class Picker(QDialog):
    """`picked` tells the key of what was picked; `thrown` of what is to be thrown away, where that is offered."""

    picked = Signal(str)
    thrown = Signal(str)

    def __init__(
        self,
        style: Style,
        head: str,
        choices: Choices,
        parent: QWidget,
        *,
        note: str = "",
        throws: frozenset[str] = frozenset(),
        take: str = "",
    ) -> None:
        """`throws`: keys of what can be thrown away. `take`: the word for picking, where it is not a setting down."""
        super().__init__(parent)
        self.setWindowTitle(head)
        self.setAccessibleName(head)
        self.setPalette(palette_of(style))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._choices = choices
        self._throws = throws
        self._field = QLineEdit()
        self._field.setAccessibleName(self.tr("Find by name"))
        self._field.setPlaceholderText(self.tr("Find by name"))
        self._field.setFont(theme.font(theme.HEAD))
        self._field.textChanged.connect(self._search)
        self._field.installEventFilter(self)
        self._list = QListWidget()
        self._list.setAccessibleName(head)
        self._list.setFont(theme.font(theme.TEXT))
        self._list.setVerticalScrollBar(ThinBar(style))
        self._list.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._list.itemDoubleClicked.connect(lambda _item: self.take())
        self._list.currentItemChanged.connect(lambda *_: self._show_words())
        self._take = Word(style, take or self.tr("Set down"), key="Enter")
        self._take.clicked.connect(self.take)
        self._throw = Word(style, self.tr("Take out of the stores"))
        self._throw.clicked.connect(self._throw_away)
        leave = Word(style, self.tr("Leave"), key="Esc")
        leave.clicked.connect(self.reject)
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 16, 20, 12)
        column.addWidget(Line(style, head, size=theme.HEAD, weight=theme.MEDIUM))
        if note:
            column.addWidget(Line(style, note, tone="quiet", wrap=True))
        column.addWidget(self._field)
        column.addWidget(self._list, 1)
        words = QHBoxLayout()
        for word in (self._take, self._throw, leave):
            words.addWidget(word)
        words.addStretch(1)
        column.addLayout(words)
        self.resize(WIDTH, HEIGHT)
        self._search("")

    def show_picker(self) -> None:
        """Open over the window."""
        self.open()
        self._field.setFocus()

    def field(self) -> QLineEdit:
        """The field that is typed into."""
        return self._field

    def keys(self) -> tuple[str, ...]:
        """The keys of what is listed now, headings left out."""
        items = [self._list.item(row) for row in range(self._list.count())]
        return tuple(item.data(KEY) for item in items if item.data(KEY))

    def take(self) -> None:
        """Pick what is marked."""
        item = self._list.currentItem()
        if item is not None and item.data(KEY):
            key = str(item.data(KEY))
            self.close()
            self.picked.emit(key)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.take()
        else:
            super().keyPressEvent(event)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress and event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self._step(1 if event.key() == Qt.Key.Key_Down else -1)
            return True
        return super().eventFilter(watched, event)

    def _search(self, words: str) -> None:
        wanted = words.casefold().split()
        self._list.clear()
        for heading, under in self._choices:
            hits = [(key, text) for key, text in under if all(word in f"{heading} {text}".casefold() for word in wanted)]
            if hits:
                head = QListWidgetItem(heading)
                head.setFlags(Qt.ItemFlag.NoItemFlags)
                self._list.addItem(head)
            for key, text in hits:
                item = QListWidgetItem(f"    {text}")
                item.setData(KEY, key)
                self._list.addItem(item)
        self._list.setCurrentRow(0)
        self._step(1)

    def _step(self, by: int) -> None:
        row = self._list.currentRow() + by
        while 0 <= row < self._list.count():
            if self._list.item(row).data(KEY):
                self._list.setCurrentRow(row)
                return
            row += by

    def _show_words(self) -> None:
        item = self._list.currentItem()
        key = item.data(KEY) if item is not None else None
        self._take.setEnabled(bool(key))
        self._throw.setVisible(key in self._throws)

    def _throw_away(self) -> None:
        item = self._list.currentItem()
        if item is not None and item.data(KEY) in self._throws:
            key = str(item.data(KEY))
            self.close()
            self.thrown.emit(key)
