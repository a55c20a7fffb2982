"""A field that opens a list in which any number of names are ticked; it says in a few words which are."""

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QAction, QKeyEvent, QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QMenu, QSizePolicy, QToolButton, QWidget

from app import theme

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


class Ticked(QToolButton):
    """At least one name stays ticked: the last tick is not taken away."""

    picked = Signal(object)
    """The names that are ticked now, in the order in which they are offered."""

    def __init__(self, told: Told, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._told = told
        self._names: tuple[str, ...] = ()
        self._list = _OpenMenu(self)
        self._list.setFont(theme.font(theme.TEXT))
        self.setFont(theme.font(theme.TEXT))
        self.setMenu(self._list)
        self.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)

    @property
    def ticked(self) -> tuple[str, ...]:
        """The names that are ticked."""
        return tuple(name for name, action in zip(self._names, self._list.actions(), strict=True) if action.isChecked())

    def entry(self, name: str) -> QAction:
        """The entry of a name; KeyError where it is not offered."""
        if name not in self._names:
            raise KeyError(name)
        return self._list.actions()[self._names.index(name)]

    def offer(self, names: Sequence[str], ticked: Sequence[str]) -> None:
        """Offer names, some of them ticked; a list of the same names stays as it is, open or not."""
        if tuple(names) != self._names:
            self._list.clear()
            self._names = tuple(names)
            for name in names:
                # An ampersand is a letter of the name, not the mark of a key.
                action = self._list.addAction(name.replace("&", "&&"))
                action.setCheckable(True)
                action.triggered.connect(partial(self._tick, name))
        for name, action in zip(self._names, self._list.actions(), strict=True):
            action.setChecked(name in ticked)
        self._say()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._list.setPalette(self.palette())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._say()

    def _tick(self, name: str, _on: bool = False) -> None:  # noqa: FBT001, FBT002 - as the signal gives it
        if not self.ticked:
            self.entry(name).setChecked(True)
            return
        self._say()
        self.picked.emit(self.ticked)

    def _say(self) -> None:
        words = self._told(self.ticked, self._names)
        room = max(self.width() - 28, 40)
        self.setText(self.fontMetrics().elidedText(words.replace("&", "&&"), Qt.TextElideMode.ElideRight, room))
        self.setToolTip(", ".join(self.ticked))
        self.setAccessibleDescription(words)
