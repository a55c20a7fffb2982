"""A field that opens a list in which any number of names are ticked; it says in a few words which are."""

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import QPoint, Qt, Signal
from PySide6.QtGui import QAction, QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QMenu, QSizePolicy, QWidget

from app import theme
from app.panels.drop_list import DropList
from app.panels.words import as_entry, as_tip
from app.theme import Style

Told = Callable[[Sequence[str], Sequence[str]], str]
"""Words for those ticked, of all that are offered."""

TICK_KEYS = (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter)


class _OpenMenu(QMenu):
    """Stays open while its entries are ticked; Escape, or a click elsewhere, closes it."""

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        action = self.actionAt(event.position().toPoint())
        if action in self.actions():
            action.trigger()
        else:
            super().mouseReleaseEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        action = self.activeAction()
        if event.key() in TICK_KEYS and action in self.actions():
            action.trigger()
        else:
            super().keyPressEvent(event)


class Ticked(DropList):
    """Looks like the lists beside it. At least one name stays ticked: the last tick is not taken away."""

    picked = Signal(object)
    """The names that are ticked now, in the order in which they are offered."""

    def __init__(self, style: Style, told: Told, parent: QWidget | None = None) -> None:
        super().__init__(style, parent)
        self._told = told
        self._names: tuple[str, ...] = ()
        self.list = _OpenMenu(self)
        self.list.setFont(theme.font(theme.TEXT))
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)

    @property
    def ticked(self) -> tuple[str, ...]:
        """The names that are ticked."""
        return tuple(name for name, action in zip(self._names, self.list.actions(), strict=True) if action.isChecked())

    def entry(self, name: str) -> QAction:
        """The entry of a name; ValueError where it is not offered."""
        return self.list.actions()[self._names.index(name)]

    def offer(self, names: Sequence[str], ticked: Sequence[str]) -> None:
        """Offer names, some of them ticked; a list of the same names stays as it is, open or not."""
        if tuple(names) != self._names:
            self.list.clear()
            self._names = tuple(names)
            for name in names:
                action = self.list.addAction(as_entry(name))
                action.setCheckable(True)
                action.triggered.connect(partial(self._tick, name))
        for name, action in zip(self._names, self.list.actions(), strict=True):
            action.setChecked(name in ticked)
        self._say()

    def showPopup(self) -> None:
        self.list.setMinimumWidth(self.width())
        self.list.popup(self.mapToGlobal(QPoint(0, self.height())))

    def hidePopup(self) -> None:
        self.list.hide()

    def set_style(self, style: Style) -> None:
        super().set_style(style)
        self.list.setPalette(self.palette())

    def _tick(self, name: str, _on: bool = False) -> None:  # noqa: FBT001, FBT002 - as the signal gives it
        if not self.ticked:
            self.entry(name).setChecked(True)
            return
        self._say()
        self.picked.emit(self.ticked)

    def _say(self) -> None:
        words = self._told(self.ticked, self._names)
        if self.currentText() != words or self.count() != 1:
            self.clear()
            self.addItem(words)
        self.setToolTip(as_tip(", ".join(self.ticked)))
        self.setAccessibleDescription(", ".join(self.ticked))
