"""A name, changed in its place: Enter takes it, Esc and leaving put the old one back."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QKeyEvent, QPalette
from PySide6.QtWidgets import QLineEdit

from app import theme
from app.theme import Style


class NameField(QLineEdit):
    """`taken` tells a name typed and confirmed, without white space at its ends; `left` that the old one stays."""

    taken = Signal(str)
    left = Signal()

    def __init__(self, style: Style, what: str, name: str) -> None:
        """`what` it is the name of, for those who do not see it."""
        super().__init__()
        self._name = name
        self._over = False
        self.setAccessibleName(what)
        self.setFont(theme.font(theme.TEXT))
        self.setFixedHeight(24)
        self.setText(name)
        self.returnPressed.connect(self._take)
        self.set_style(style)

    def set_style(self, style: Style) -> None:
        palette = QPalette(self.palette())
        palette.setColor(QPalette.ColorRole.Base, QColor(style.board))
        palette.setColor(QPalette.ColorRole.Text, QColor(style.ink))
        self.setPalette(palette)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self._leave()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._leave()

    def _take(self) -> None:
        """What follows may take the field away: leaving it then says nothing more."""
        self._over = True
        self.taken.emit(self.text().strip())
        self._over = False

    def _leave(self) -> None:
        if not self._over:
            self.setText(self._name)
            self.left.emit()
