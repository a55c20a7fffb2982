"""The page on the board's place that lists every pair: what is checked, with which gap, and why not otherwise."""

from dataclasses import replace

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from app import theme
from app.document.desk import Desk
from app.palette import palette_of
from app.panels.pairs_rule import PairRule
from app.panels.pairs_table import PairTable
from app.panels.pairs_words import KINDS, Key, Kind, Order, PairLine, count_of, pair_lines, shown_lines
from app.panels.words import Line, Word
from app.theme import Style
from core.clearance.pairs import BodyPair
from core.clearance.rules import asked_of
from core.model.project import Project
from core.sentences import finding_sentence
from core.sentences.numbers import opening
from core.sweep.pair_stands import PairStand, pair_stands

PAIR = 2
SEARCH_WIDTHS = (80, 190)
"""Logical pixels: what the field takes at least where the counts before it are long, and at most."""


class SearchField(QLineEdit):
    """What is typed finds; Esc empties it first, Enter and Down go on to what is found."""

    onward = Signal()

    def event(self, event: QEvent) -> bool:
        ours = event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Escape
        if ours and self.text():
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self.text():
            self.clear()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Down):
            self.onward.emit()
        else:
            super().keyPressEvent(event)


class PairsPage(QWidget):
    """Watches the desk; works out nothing while it is hidden, and no lines while a gesture goes on."""

    close_asked = Signal()

    def __init__(self, style: Style, desk: Desk) -> None:
        super().__init__()
        self._style, self._desk = style, desk
        self._kind: Kind = "all"
        self._order: Order = "found"
        self._backward = False
        self._picked: tuple[Key, ...] = ()
        self._of = -1
        self._moving: tuple[BodyPair, ...] = ()
        self._made: tuple[Project, tuple[BodyPair, ...]] | None = None
        self._lines: tuple[PairLine, ...] = ()
        self._stands: dict[Key, PairStand] = {}
        self.setAccessibleName(self.tr("Every pair, and what is checked"))
        self.kinds = {kind: Word(style, self.tr(kind), checkable=True) for kind in KINDS}
        self.search = SearchField()
        self.search.setPlaceholderText(self.tr("Find by name"))
        self.search.setAccessibleName(self.tr("Find a pair by its names"))
        self.search.setFont(theme.font(theme.TEXT))
        self.search.setFixedHeight(26)
        self.search.setMinimumWidth(SEARCH_WIDTHS[0])
        self.search.setMaximumWidth(SEARCH_WIDTHS[1])
        self.search.setClearButtonEnabled(False)
        self.leave = Word(style, self.tr("Back to the board"), key="Esc")
        self.table = PairTable(style)
        self.note = Line(style, size=theme.TEXT, tone="quiet", wrap=True)
        self.rule = PairRule(style, desk)
        self._lay_out()
        self._listen()

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.setContentsMargins(theme.MARGIN - 3, 5, theme.MARGIN - 3, 5)
        head.setSpacing(12)
        for word in self.kinds.values():
            head.addWidget(word)
        head.addStretch(1)
        head.addWidget(self.search, 100)
        head.addWidget(self.leave)
        body = QVBoxLayout()
        body.setContentsMargins(theme.MARGIN - 6, 0, theme.MARGIN - 6, 0)
        body.addWidget(self.table, 1)
        foot = QVBoxLayout()
        foot.setContentsMargins(theme.MARGIN, 4, theme.MARGIN, 4)
        foot.setSpacing(0)
        foot.addWidget(self.note)
        foot.addWidget(self.rule)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(head)
        column.addLayout(body, 1)
        column.addLayout(foot)

    def _listen(self) -> None:
        desk = self._desk
        for signal in (desk.project_shown, desk.prover.prepared, desk.answered, desk.document.gesture_changed):
            signal.connect(self.refresh)
        desk.chosen.connect(self._show_picked)
        for kind, word in self.kinds.items():
            word.clicked.connect(lambda _on=False, kind=kind: self.show_kind(kind))
        self.search.textChanged.connect(lambda _text: self._show_lines())
        self.search.onward.connect(self._onward)
        self.leave.clicked.connect(self.close_asked)
        self.table.picked.connect(self._pick)
        self.table.order_asked.connect(self.order_by)
        self.table.taken.connect(self._work)
        self.table.left.connect(self.search.setFocus)
        self.rule.left.connect(self.table.setFocus)

    def open(self, *, search: bool) -> None:
        """Take the keyboard: to find a pair, or to go through all."""
        self.refresh()
        (self.search if search else self.table).setFocus()
        if search:
            self.search.selectAll()

    def refresh(self) -> None:
        """Show what is known of the project at hand."""
        desk = self._desk
        if not self.isVisible() or desk.document.in_gesture:
            return
        if self._of != desk.document.opened:
            self._of, self._moving, self._made, self._picked = desk.document.opened, (), None, ()
            self._stands, self._lines = {}, ()
        mechanism, project = desk.mechanism, desk.project
        if mechanism is not None and project is not None:
            # Until the pairs of this state are laid out, those of the state before are told by its rules.
            self._moving = mechanism.moving_pairs or self._moving
            if self._made is None or self._made[0] is not project or self._made[1] is not self._moving:
                self._made = (project, self._moving)
                self._stands = {(stand.section, stand.between): stand for stand in pair_stands(project, mechanism.linkage, self._moving)}
            rows = desk.timeline.rows
            self._lines = pair_lines(tuple(self._stands.values()), rows, self.tr, outdated=desk.outdated)
        self._picked = self._picked_elsewhere()
        self._show_lines()
        self._show_rule()

    def show_kind(self, kind: Kind) -> None:
        """Show the pairs of one kind alone."""
        self._kind = kind
        self._show_lines()

    def order_by(self, order: Order) -> None:
        """Put the lines in an order; asked again, the other way round."""
        self._backward = order == self._order and not self._backward
        self._order = order
        self.table.heading.order = order
        self.table.heading.viewport().update()
        self._show_lines()

    def shown(self) -> tuple[PairLine, ...]:
        """The lines shown, in their order."""
        return self.table.lines.lines

    def set_style(self, style: Style) -> None:
        self._style = style
        self.search.setPalette(palette_of(style))
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(600, 400)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.refresh()

    def paintEvent(self, _event: QPaintEvent) -> None:
        QPainter(self).fillRect(self.rect(), QColor(self._style.board))

    def _show_lines(self) -> None:
        for kind, word in self.kinds.items():
            word.setText(self.tr("{kind} {count}").format(kind=opening(self.tr(kind)), count=count_of(self._lines, kind)))
            word.setChecked(kind == self._kind)
        lines = shown_lines(self._lines, kind=self._kind, order=self._order, words=self.search.text(), backward=self._backward)
        project = self._desk.project
        self.table.show_lines(lines, self._picked, sections=project is not None and len(project.sections) > 1)
        self._show_note()

    def _show_note(self) -> None:
        told = ""
        fault = next((finding for finding in self._desk.document.findings if finding.level == "error"), None)
        if fault is not None:
            told = self.tr("{fault} Until then all is told as it was before.").format(fault=finding_sentence(fault, self.tr))
        elif not self._lines:
            told = self.tr("A section with two bodies has a pair.")
        elif not self.shown():
            told = self.tr("No pair here has a name like that.") if self.search.text() else self.tr("No pair is of this kind.")
        elif not self._picked:
            told = self.tr("Pick a pair to change what is asked of it, or several with Shift or Ctrl.")
        self.note.say(told, tone="quiet" if fault is None else "breach")
        self.note.setVisible(bool(told))

    def _pick(self, keys: list[Key]) -> None:
        """Pairs picked by hand: the first is taken in hand everywhere."""
        self._picked = tuple(keys)
        if keys:
            self._desk.choice.pick_pair(*keys[0])
        self._show_rule()
        self._show_note()

    def _show_picked(self) -> None:
        """What is picked elsewhere is picked here."""
        if not self.isVisible():
            return
        before, self._picked = self._picked, self._picked_elsewhere()
        if self._picked != before:
            self.table.pick(self._picked, bring=True)
        self._show_rule()
        self._show_note()

    def _picked_elsewhere(self) -> tuple[Key, ...]:
        """The pairs picked here while one of them is in hand; otherwise the pair in hand, or the two bodies."""
        choice = self._desk.choice
        pairs = [choice.pair] if choice.pair else [choice.bodies, choice.bodies[::-1]] if len(choice.bodies) == PAIR else []
        if choice.section is None:
            return ()
        keys = [(choice.section, (pair[0], pair[1])) for pair in pairs]
        key = next((key for key in keys if key in self._stands), None)
        return () if key is None else self._picked if key in self._picked else (key,)

    def _show_rule(self) -> None:
        stands = [self._stands[key] for key in self._picked if key in self._stands]
        project = self._desk.project
        if project is not None and not self._desk.document.is_valid:
            # What stands there may be the fault itself, to be mended here.
            stands = [replace(stand, asked=asked_of(project, stand.section, stand.between)) for stand in stands]
        self.rule.show_of(stands)

    def _onward(self) -> None:
        """From the field to what is found: the first of it, unless one of it is picked."""
        if not self.shown():
            return
        self.table.setFocus()
        if not self.table.rows():
            self.table.selectRow(0)

    def _work(self) -> None:
        """Enter on a line: its number, or the first word where it has none."""
        if not self.rule.take_gap():
            for word in list(self.rule.words.values())[:1]:
                word.setFocus()
