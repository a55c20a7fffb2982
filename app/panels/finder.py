"""Finds an action by name: a field and the actions that match, with their keys."""

from collections.abc import Mapping

from PySide6.QtCore import QEvent, QObject, QPoint, Qt, Signal
from PySide6.QtGui import QAction, QKeyEvent
from PySide6.QtWidgets import QFrame, QLineEdit, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from app import theme
from app.actions import BY_NAME, found, key_text
from app.panels.scroll import ThinBar
from app.theme import Style

WIDTH, HEIGHT = 420, 320


class Finder(QFrame):
    """A sheet at the top of the window; Enter does the action that is marked, Esc puts it away."""

    chosen = Signal(str)

    def __init__(self, style: Style, actions: Mapping[str, QAction], parent: QWidget) -> None:
        super().__init__(parent, Qt.WindowType.Popup)
        self._actions = actions
        self.setFrameShape(QFrame.Shape.Box)
        self.setAccessibleName(self.tr("Find an action"))
        self._field = QLineEdit()
        self._field.setPlaceholderText(self.tr("Find an action by name"))
        self._field.setAccessibleName(self.tr("Name of the action"))
        self._field.setFont(theme.font(theme.HEAD))
        self._list = QListWidget()
        self._list.setFont(theme.font(theme.TEXT))
        self._list.setFrameShape(QFrame.Shape.NoFrame)
        self._list.setAccessibleName(self.tr("Actions found"))
        self._list.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._list.setVerticalScrollBar(ThinBar(style))
        self._list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._list.setSpacing(2)
        column = QVBoxLayout(self)
        column.addWidget(self._field)
        column.addWidget(self._list, 1)
        self._field.textChanged.connect(self._search)
        self._field.returnPressed.connect(self._choose)
        self._field.installEventFilter(self)
        self._list.itemClicked.connect(self._choose)
        self.resize(WIDTH, HEIGHT)

    def open_over(self, window: QWidget) -> None:
        """Open at the upper right of `window`, with an empty field."""
        self._field.clear()
        self._search("")
        self.move(window.mapToGlobal(QPoint(window.width() - WIDTH - theme.MARGIN, 54)))
        self.show()
        self._field.setFocus()

    def field(self) -> QLineEdit:
        """The field that is typed into."""
        return self._field

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress and event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            step = 1 if event.key() == Qt.Key.Key_Down else -1
            self._list.setCurrentRow(min(max(self._list.currentRow() + step, 0), self._list.count() - 1))
            return True
        return super().eventFilter(watched, event)

    def _search(self, words: str) -> None:
        self._list.clear()
        for action in found(words):
            one = self._actions[action.name]
            key = key_text(BY_NAME[action.name])
            item = QListWidgetItem(f"{one.text()}    {key}" if key else one.text())
            item.setData(Qt.ItemDataRole.UserRole, action.name)
            if not one.isEnabled():
                item.setFlags(item.flags() & ~Qt.ItemFlag.ItemIsEnabled)
            self._list.addItem(item)
        self._list.setCurrentRow(0)

    def _choose(self) -> None:
        item = self._list.currentItem()
        if item is not None and item.flags() & Qt.ItemFlag.ItemIsEnabled:
            self.hide()
            self.chosen.emit(item.data(Qt.ItemDataRole.UserRole))
