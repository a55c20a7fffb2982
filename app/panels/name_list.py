"""Names to pick: a line each with what is said of it, or in brief one after another where other things need the room."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, QRect, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from app import theme
from app.panels.flow import Flow
from app.panels.scroll import Scroll
from app.panels.words import Line, Word, as_tip, clear_layout
from app.theme import Style

GAP = 10
"""Logical pixels between names one after another: a name may be of several words."""

MOST_WIDTH = 256
"""Logical pixels that a name takes before it is cut off."""

NO_LIMIT = (1 << 24) - 1
"""Of a widget's height, as Qt has it."""

SCROLL_ROOM = 6
LEAST, LEAST_TOLD = 48, 108
"""Logical pixels that are seen at least: of the names in brief, and of names with what is said of them."""


class Names(Flow):
    """Its widgets one under another, or those that are names one after another."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.brief = False
        self._least: QSize | None = None

    def _forget(self) -> None:
        super()._forget()
        self._least = None

    def minimumSize(self) -> QSize:
        if self._least is None:
            sizes = [item.minimumSize() for item in self._items]
            self._least = QSize(max((size.width() for size in sizes), default=0), max((size.height() for size in sizes), default=0))
        return self._least

    def _set(self, rect: QRect, *, place: bool) -> int:
        left, top, room = rect.x(), rect.y(), rect.width()
        x, y, line = 0, 0, 0
        for item in self._items:
            if item.isEmpty():
                continue
            hint = item.sizeHint()
            width = hint.width() if self.brief or not item.hasHeightForWidth() else room
            height = item.heightForWidth(room) if item.hasHeightForWidth() else hint.height()
            if x > 0 and (not self.brief or x + width > room):
                x, y, line = 0, y + line, 0
            if place:
                item.setGeometry(QRect(left + x, top + y, width, height))
            x, line = x + width + GAP, max(line, height)
        return y + line


class NameList(QWidget):
    """The bodies of a section. In brief it is no higher than its names are."""

    picked = Signal(str)

    def __init__(self, style: Style, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self._words: dict[str, Word] = {}
        self._told: dict[str, Line] = {}
        self._shown: tuple[tuple[str, str], ...] = ()
        self._marked: tuple[str, ...] = ()
        self.setAccessibleName(name)
        self._soon = QTimer(self, interval=0, singleShot=True)  # once names have their places
        self._soon.timeout.connect(self._bring)
        self._inner = QWidget()
        self._inner.installEventFilter(self)
        self._names = Names(self._inner)
        self._inner.setContentsMargins(0, 0, SCROLL_ROOM, 0)
        self._scroll = Scroll(style, self._inner)
        self._scroll.verticalScrollBar().rangeChanged.connect(lambda *_: self._soon.start())
        self._empty = Line(style, self.tr("None yet."), tone="quiet")
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(self._empty)
        outer.addWidget(self._scroll, 1)
        outer.addStretch(0)

    def show_names(self, names: Sequence[tuple[str, str]], *, picked: Sequence[str]) -> None:
        """Show names with what is said of each (rich text; may be empty)."""
        self._empty.setVisible(not names)
        anew = tuple(names) != self._shown
        if anew:
            self._shown = tuple(names)
            clear_layout(self._inner)
            self._words.clear()
            self._told.clear()
            for name, told in names:
                self._add(name, told)
            self.updateGeometry()
        for name, word in self._words.items():
            word.setChecked(name in picked)
        if anew or tuple(picked) != self._marked:
            self._marked = tuple(picked)
            self._soon.start()

    def set_brief(self, *, brief: bool) -> None:
        """The names alone, one after another; or a line each, with what is said of it."""
        if brief == self._names.brief:
            return
        with self._scroll.placing_edges_once():
            self._become(brief=brief)
        self._soon.start()

    def _become(self, *, brief: bool) -> None:
        self._names.brief = brief
        self._names.setEnabled(False)  # otherwise all is placed anew for every line that is shown
        for line in self._told.values():
            line.setVisible(not brief)
        self._names.setEnabled(True)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum if brief else QSizePolicy.Policy.Preferred)
        self._names.invalidate()
        self.updateGeometry()
        self._fit()

    def sizeHint(self) -> QSize:
        hint = super().sizeHint()
        if not self._names.brief or not self._shown:
            return hint
        return QSize(hint.width(), self._inner.heightForWidth(self._scroll.viewport().width()))

    def minimumSizeHint(self) -> QSize:
        least = super().minimumSizeHint()
        if not self._shown:
            return least
        needed = self._inner.heightForWidth(self._scroll.viewport().width())
        return QSize(least.width(), min(needed, LEAST if self._names.brief else LEAST_TOLD))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.oldSize().width() != event.size().width():
            self.updateGeometry()
        self._fit()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """A scroll area tells nobody that what is in it has become higher, as names do that are shown at last."""
        if event.type() == QEvent.Type.LayoutRequest:
            self.updateGeometry()
        return super().eventFilter(watched, event)

    def set_style(self, style: Style) -> None:
        self._style = style

    def _fit(self) -> None:
        """In brief only whole lines are seen."""
        whole = self.height() // self._line() * self._line()
        self._scroll.setMaximumHeight(max(whole, self._line()) if self._names.brief else NO_LIMIT)

    def _line(self) -> int:
        return next((word.sizeHint().height() for word in self._words.values()), LEAST)

    def _bring(self) -> None:
        """Scroll to the first of the names that are picked, by whole names and no more of them than it takes.

        What is said of it is then seen as well.
        """
        name = next((name for name in self._words if name in self._marked), None)
        if name is None:
            return
        bar, room = self._scroll.verticalScrollBar(), self._scroll.viewport().height()
        word = self._words[name]
        last = word if self._names.brief else self._told.get(name, word)
        foot = last.geometry().bottom() + 1
        if self._names.brief or not bar.value() <= word.y() <= foot <= bar.value() + room:
            tops = sorted({one.y() for one in self._words.values()})
            bar.setValue(next((top for top in tops if top >= foot - room), word.y()))

    def _add(self, name: str, told: str) -> None:
        word = Word(self._style, name, checkable=True)
        word.setMaximumWidth(MOST_WIDTH)
        if word.sizeHint().width() > MOST_WIDTH:
            word.setToolTip(as_tip(name))
        word.clicked.connect(lambda _on=False: self.picked.emit(name))
        self._words[name] = word
        self._names.addWidget(word)
        if told:
            line = Line(self._style, size=theme.DATA, tone="quiet", wrap=True)
            line.setTextFormat(Qt.TextFormat.RichText)
            line.setContentsMargins(3, 0, 0, 4)
            line.say(told)
            self._told[name] = line
            self._names.addWidget(line)
            if self._names.brief:  # only now: what has no parent yet would be shown as a window of its own
                line.hide()
