"""What stands at the right of the sentence: what was covered and how long it took, or how far a sweep is, and which breach is shown."""

from PySide6.QtCore import Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QGridLayout, QWidget

from app import theme
from app.panels.words import Line, Tone, Word
from app.theme import Style

HEIGHT = 42


class ProofCorner(QWidget):
    """Two lines at the left, "1 of 8" and its key at the right; "Stop" while a sweep runs."""

    stop_asked = Signal()
    next_asked = Signal()

    def __init__(self, style: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self._share: float | None = None
        self.setFixedHeight(HEIGHT)
        self.setAccessibleName(self.tr("What is proved"))
        self._covered = Line(style, size=theme.DATA, tone="proved")
        self._work = Line(style, size=theme.DATA, tone="quiet")
        self._place = Line(style, size=theme.DATA, weight=theme.SEMIBOLD)
        self._next = Word(style, self.tr("next"), key="N", size=theme.DATA, tone="quiet")
        self._next.clicked.connect(self.next_asked)
        self._stop = Word(style, self.tr("Stop"), key="Ctrl+.", size=theme.DATA)
        self._stop.clicked.connect(self.stop_asked)
        self._stop.hide()
        grid = QGridLayout(self)
        grid.setContentsMargins(theme.MARGIN, 3, theme.MARGIN - 3, 2)
        grid.setSpacing(0)
        grid.setColumnStretch(0, 1)
        grid.addWidget(self._covered, 0, 0)
        grid.addWidget(self._work, 1, 0)
        for widget, row in ((self._place, 0), (self._next, 1)):
            grid.addWidget(widget, row, 1)
        grid.addWidget(self._stop, 0, 2, 2, 1)
        self._place.setFixedWidth(54)
        self._next.setFixedHeight(18)

    def say(self, covered: str, work: str, *, tone: Tone) -> None:
        """What was covered and what it took."""
        self._covered.say(covered, tone=tone)
        self._work.say(work)

    def covered(self) -> str:
        """The upper line."""
        return self._covered.whole()

    def show_place(self, place: str) -> None:
        """Which breach is shown, "1 of 8"; empty where there is none."""
        self._place.say(place)
        self._place.setVisible(bool(place))
        self._next.setVisible(bool(place))

    def place(self) -> str:
        """Which breach is shown."""
        return self._place.whole()

    def show_sweep(self, share: float | None) -> None:
        """How much of a running sweep is done, 0 to 1; None while none runs."""
        self._share = share
        self._stop.setVisible(share is not None)
        self._place.setVisible(share is None and bool(self._place.whole()))
        self._next.setVisible(self._place.isVisibleTo(self))
        self.update()

    def set_style(self, style: Style) -> None:
        self._style = style
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(self._style.panel))
        painter.fillRect(0, 0, self.width(), 1, QColor(self._style.ink))
        painter.fillRect(0, self.height() - 1, self.width(), 1, QColor(self._style.ink))
        painter.fillRect(0, 0, 1, self.height(), QColor(self._style.rule))
        if self._share is not None:
            painter.fillRect(0, self.height() - 3, round(self.width() * self._share), 3, QColor(self._style.proved_text))
