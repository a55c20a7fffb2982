"""The words over the board: what is drawn besides the section, each a switch with its key."""

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QPoint
from PySide6.QtGui import QAction, QColor, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from app import theme
from app.actions import BY_NAME, key_text, tool_tip
from app.panels.words import Line, Word
from app.theme import Style

HEIGHT = 32
STRIP_WIDTH = 112


class BoardTools(QWidget):
    """Words for some actions; over the depth strip its head."""

    def __init__(self, style: Style, actions: Mapping[str, QAction], names: Sequence[str], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self.setFixedHeight(HEIGHT)
        self._actions = actions
        self._words: dict[str, Word] = {}
        self._names: tuple[str, ...] = ()
        row = QHBoxLayout(self)
        row.setContentsMargins(theme.MARGIN - 3, 4, 0, 0)
        row.setSpacing(14)
        self._row = QHBoxLayout()
        self._row.setSpacing(12)
        row.addLayout(self._row)
        row.addStretch(1)
        self.show_words(names)
        head = Line(style, self.tr("Depth, mm"), size=theme.DATA)
        head.setFixedWidth(STRIP_WIDTH - 10)
        head.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        row.addWidget(head)

    def show_words(self, names: Sequence[str]) -> None:
        """Show the words of these actions, and no others."""
        for name in names:
            if name not in self._words:
                self._words[name] = self._word(self._actions[name], key_text(BY_NAME[name]))
            self._row.removeWidget(self._words[name])
            self._row.addWidget(self._words[name])
        for name, word in self._words.items():
            word.setVisible(name in names)
        self._names = tuple(names)
        self._fit_keys()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit_keys()

    def _fit_keys(self) -> None:
        """Where the words have no room with their keys they stand without: the finder tells the keys too."""
        words = [self._words[name] for name in self._names]
        for word in words:
            word.show_key(on=True)
        wide = sum(word.sizeHint().width() + self._row.spacing() for word in words)
        for word in words:
            word.show_key(on=wide <= self.width() - STRIP_WIDTH - theme.MARGIN)
        layout = self.layout()
        if layout is not None:
            layout.activate()  # at once: until then the row asks for the room that it took with its keys

    def place_of(self, name: str) -> QPoint:
        """The place on the screen under an action's word, or under the whole row while that does not show."""
        word = self._words.get(name)
        return word.mapToGlobal(QPoint(0, word.height())) if word is not None and word.isVisible() else self.mapToGlobal(QPoint(0, HEIGHT))

    def _word(self, action: QAction, key: str) -> Word:
        word = Word(self._style, self.tr(BY_NAME[action.objectName()].short), key=key.lower(), checkable=action.isCheckable())
        word.setToolTip(tool_tip(action, self.tr))

        def follow() -> None:
            word.setChecked(action.isChecked())
            word.setEnabled(action.isEnabled())

        word.clicked.connect(action.trigger)
        action.changed.connect(follow)
        follow()
        return word

    def set_style(self, style: Style) -> None:
        self._style = style
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(self._style.board))
        painter.fillRect(self.width() - STRIP_WIDTH, 0, 1, self.height(), QColor(self._style.rule))
