"""The job bar: a rule with five scribed marks in the order of the work, free to jump, each with its state in words."""

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QPoint, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QHBoxLayout, QMenu, QSizePolicy, QVBoxLayout, QWidget

from app import theme
from app.panels.words import Tone, Word, as_entry, as_tip, paint_focus, tone_colour
from app.theme import Style

HEIGHT = 52
PROJECT_WIDTH = 160
WORD_AIR = 3
"""Logical pixels that words to press leave free at their sides: what they say begins and ends where the margins are."""

MARK_HEIGHT = 10


class StepMark(QAbstractButton):
    """One step: its word, its key, its state; a scribed mark on the rule, the whole stretch of it thick while at work."""

    def __init__(self, style: Style, name: str, *, key: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self._key = key
        self._state = ""
        self._tone: Tone = "quiet"
        self.setText(self.tr(name))
        self.setCheckable(True)
        self.setAutoExclusive(True)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(self.text())

    def say(self, state: str, tone: Tone) -> None:
        """Tell the state of the step."""
        if (state, tone) == (self._state, self._tone):
            return
        self._state = state
        self._tone = tone
        self.setAccessibleDescription(state)
        self.setToolTip(as_tip(state))
        self.updateGeometry()
        self.update()

    def state(self) -> str:
        """The state in words."""
        return self._state

    def set_style(self, style: Style) -> None:
        self._style = style
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(max(104, QFontMetrics(theme.font(theme.DATA)).horizontalAdvance(self._state) + 22), HEIGHT)

    def minimumSizeHint(self) -> QSize:
        return QSize(88, HEIGHT)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        left, width = 6, self.width() - 7
        head = theme.font(theme.HEAD, weight=theme.SEMIBOLD if self.isChecked() and self.isEnabled() else theme.REGULAR)
        painter.setFont(head)
        painter.setPen(QColor(self._style.ink if self.isEnabled() else self._style.quiet_text))
        painter.drawText(left, 24, self.text())
        painter.setPen(QColor(self._style.quiet_text))
        key_left = left + QFontMetrics(head).horizontalAdvance(self.text()) + 6
        painter.setFont(theme.font(theme.RULER))
        painter.drawText(key_left, 24, self._key)
        data = theme.font(theme.DATA)
        painter.setFont(data)
        painter.setPen(tone_colour(self._style, self._tone))
        painter.drawText(left, 41, QFontMetrics(data).elidedText(self._state, Qt.TextElideMode.ElideRight, width))
        painter.setPen(QPen(QColor(self._style.ink), theme.WIDE))
        painter.drawLine(1, HEIGHT - MARK_HEIGHT, 1, HEIGHT)
        if self.isChecked() and self.isEnabled():
            painter.fillRect(0, HEIGHT - 3, self.width(), 3, QColor(self._style.ink))
        paint_focus(painter, self, self._style, self.rect().adjusted(3, 3, 0, -4))


class JobBar(QWidget):
    """Project and section at the left, the steps, and what can be undone and found at the right."""

    step_chosen = Signal(str)
    section_chosen = Signal(str)
    undo_asked = Signal()
    finder_asked = Signal()
    file_menu_asked = Signal()

    def __init__(self, style: Style, steps: Sequence[tuple[str, str]], parent: QWidget | None = None) -> None:
        """`steps`: name and key of each, in the order of the work."""
        super().__init__(parent)
        self._style = style
        self.setFixedHeight(HEIGHT)
        self.setAccessibleName(self.tr("Job bar"))
        self._project = Word(style, "", size=theme.HEAD, weight=theme.SEMIBOLD)
        self._project.setMaximumWidth(PROJECT_WIDTH)
        self._project.clicked.connect(self.file_menu_asked)
        self._section = Word(style, "", size=theme.DATA, tone="quiet")
        self._sections = QMenu(self)
        self._section.clicked.connect(self._offer_sections)
        self._undo = Word(style, "", size=theme.DATA, tone="quiet")
        self._undo.clicked.connect(self.undo_asked)
        find = Word(style, self.tr("Find an action"), key="/", size=theme.DATA, tone="quiet")
        find.clicked.connect(self.finder_asked)
        self._marks = {name: StepMark(style, name, key=key) for name, key in steps}
        row = QHBoxLayout(self)
        row.setContentsMargins(theme.MARGIN - WORD_AIR, 0, theme.MARGIN - WORD_AIR, 0)
        row.setSpacing(0)
        left = _stack(self._project, self._section)
        left.addStrut(PROJECT_WIDTH + WORD_AIR)
        row.addLayout(left, 0)
        for name, mark in self._marks.items():
            mark.clicked.connect(lambda _on=False, name=name: self.step_chosen.emit(name))
            row.addWidget(mark, 1)
        row.addLayout(_stack(self._undo, find, right=True), 0)

    def show_step(self, name: str) -> None:
        """Mark the step at work."""
        self._marks[name].setChecked(True)

    def show_open(self, *, there: bool) -> None:
        """Offer the steps only while a project is there."""
        for mark in self._marks.values():
            mark.setEnabled(there)

    def show_states(self, states: Mapping[str, tuple[str, Tone]]) -> None:
        """Tell each step's state."""
        for name, (state, tone) in states.items():
            self._marks[name].say(state, tone)

    def state_of(self, name: str) -> str:
        """The words under a step."""
        return self._marks[name].state()

    def show_project(self, name: str, *, sections: Sequence[str], section: str, unsaved: bool) -> None:
        """Name the project and the section shown; a star means changes that are not in the file."""
        self._project.setText(f"{name}{' *' if unsaved else ''} \N{DOWN ARROWHEAD}")
        self._project.setToolTip(self.tr("Open, save, samples"))
        several = len(sections) > 1
        self._section.setText(
            self.tr("section {name}").format(name=section) + (" \N{DOWN ARROWHEAD}" if several else "") if section else ""
        )
        self._section.setEnabled(several)
        self._sections.clear()
        for one in sections:
            self._sections.addAction(as_entry(one)).triggered.connect(lambda _on=False, one=one: self.section_chosen.emit(one))

    def file_place(self) -> QPoint:
        """Where the menu of files opens, on the screen."""
        return self._project.mapToGlobal(QPoint(0, self._project.height()))

    def show_undo(self, text: str) -> None:
        """Name the step that Undo takes back; nothing to undo shows nothing."""
        self._undo.setText(self.tr("Undo: {step}").format(step=text) if text else "")
        self._undo.setVisible(bool(text))

    def set_style(self, style: Style) -> None:
        self._style = style
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(self._style.panel))
        painter.fillRect(0, HEIGHT - 1, self.width(), 1, QColor(self._style.ink))

    def _offer_sections(self) -> None:
        self._sections.popup(self._section.mapToGlobal(QPoint(0, self._section.height())))


def _stack(upper: QWidget, lower: QWidget, *, right: bool = False) -> QVBoxLayout:
    column = QVBoxLayout()
    column.setContentsMargins(0, 6, 0, 3)
    column.setSpacing(0)
    side = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
    column.addWidget(upper, 0, side)
    column.addWidget(lower, 0, side)
    return column
