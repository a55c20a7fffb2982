"""The table of all pairs: a line each, drawn as it comes into view. A line picked is set stronger and ruled in ink."""

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import (
    QAbstractTableModel,
    QItemSelection,
    QItemSelectionModel,
    QModelIndex,
    QPersistentModelIndex,
    QPoint,
    QRect,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor, QFontMetrics, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPalette, QPen, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QTableView, QWidget

from app import theme
from app.palette import palette_of
from app.panels.pairs_words import Key, Order, PairLine
from app.panels.scroll import ThinBar
from app.panels.words import paint_focus
from app.theme import Style

LINE_HEIGHT = 24
INSET = 6
COLUMNS: Final[tuple[tuple[str, float, Order], ...]] = (
    ("pair", 0.32, "pair"),
    ("checked", 0.13, "checked"),
    ("to keep", 0.19, "gap"),
    ("found, or why it is not checked", 0.36, "found"),
)
"""Heading, share of the width, and the order that a press on it gives."""
SECTION: Final = ("section", 0.14, "pair")
"""Stands behind the pair where the project has several sections."""

Index = QModelIndex | QPersistentModelIndex


class PairModel(QAbstractTableModel):
    """The lines shown, in their order."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.lines: tuple[PairLine, ...] = ()
        self.columns: tuple[tuple[str, float, Order], ...] = COLUMNS

    def show_lines(self, lines: Sequence[PairLine], *, sections: bool) -> bool:
        """Show other lines; True where they are of other pairs, or in another order."""
        columns = (COLUMNS[0], SECTION, *COLUMNS[1:]) if sections else COLUMNS
        same = columns == self.columns and [line.key for line in lines] == [line.key for line in self.lines]
        if same:
            changed = [row for row, (old, new) in enumerate(zip(self.lines, lines, strict=True)) if old != new]
            self.lines = tuple(lines)
            for row in changed:
                self.dataChanged.emit(self.index(row, 0), self.index(row, len(columns) - 1))
            return False
        self.beginResetModel()
        self.lines, self.columns = tuple(lines), columns
        self.endResetModel()
        return True

    def rowCount(self, parent: Index | None = None) -> int:
        return 0 if parent is not None and parent.isValid() else len(self.lines)

    def columnCount(self, parent: Index | None = None) -> int:
        return 0 if parent is not None and parent.isValid() else len(self.columns)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> str | None:
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole):
            return self._texts(self.lines[index.row()])[index.column()]
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return ", ".join(text for text in self._texts(self.lines[index.row()]) if text)
        return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> str | None:
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return self.tr(self.columns[section][0])
        return None

    def _texts(self, line: PairLine) -> tuple[str, ...]:
        own = (line.pair, line.checked, line.gap, line.told)
        return own if self.columns is COLUMNS else (own[0], line.stand.section, *own[1:])


class LineDelegate(QStyledItemDelegate):
    """Draws a cell: words alone, cut where they do not fit."""

    def __init__(self, style: Style, parent: QWidget) -> None:
        super().__init__(parent)
        self.style_of_sheet = style

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        style, model = self.style_of_sheet, index.model()
        area, picked = option.rect, bool(option.state & QStyle.StateFlag.State_Selected)
        line = model.lines[index.row()] if isinstance(model, PairModel) else None
        text = str(index.data() or "")
        font = theme.font(theme.DATA, weight=theme.SEMIBOLD if picked else theme.REGULAR)
        ink = style.ink
        if line is not None and index.column() > 0:
            last = index.column() == len(model.columns) - 1 if isinstance(model, PairModel) else False
            ink = style.breach_text if line.short and last else style.ink if line.stand.standing == "checked" else style.quiet_text
        painter.save()
        painter.setFont(font)
        painter.setPen(QColor(ink))
        room = area.adjusted(INSET, 0, -INSET, 0)
        shown = QFontMetrics(font).elidedText(text, Qt.TextElideMode.ElideRight, room.width())
        painter.drawText(room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, shown)
        painter.setPen(QPen(QColor(style.ink if picked else style.rule), theme.WIDE if picked else 1.0))
        painter.drawLine(area.bottomLeft(), area.bottomRight())
        painter.restore()


class Heading(QHeaderView):
    """The heads of the columns: words that order the table, the one in force underlined. Left and Right, then Space, do it by keys."""

    order_asked = Signal(str)

    def __init__(self, style: Style, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.style_of_sheet = style
        self.order: Order = "found"
        self._at = 0
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setAccessibleName(self.tr("Order of the pairs"))
        self.sectionClicked.connect(self._ask)
        self.setSectionsClickable(True)
        self.setHighlightSections(False)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setFixedHeight(LINE_HEIGHT)

    def paintSection(self, painter: QPainter, rect: QRect, logical_index: int) -> None:
        model, style = self.model(), self.style_of_sheet
        if not isinstance(model, PairModel):
            return
        font = theme.font(theme.RULER)
        text = str(model.headerData(logical_index, Qt.Orientation.Horizontal) or "")
        painter.save()
        painter.setFont(font)
        painter.setPen(QColor(style.quiet_text))
        room = rect.adjusted(INSET, 0, -INSET, 0)
        painter.drawText(room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, text)
        if self.hasFocus() and logical_index == self._at:
            paint_focus(painter, self, style, rect)
            painter.setPen(QColor(style.quiet_text))
        if model.columns[logical_index][2] == self.order:
            width = min(QFontMetrics(font).horizontalAdvance(text), room.width())
            painter.drawLine(room.left(), rect.bottom() - 4, room.left() + width, rect.bottom() - 4)
        painter.setPen(QColor(style.ink))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        painter.restore()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            self._at = min(max(self._at + (1 if event.key() == Qt.Key.Key_Right else -1), 0), self.count() - 1)
            self.viewport().update()
        elif event.key() in (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._ask(self._at)
        else:
            super().keyPressEvent(event)

    def _ask(self, column: int) -> None:
        model = self.model()
        if isinstance(model, PairModel):
            self._at = min(column, self.count() - 1)
            self.order_asked.emit(model.columns[self._at][2])


class PairTable(QTableView):
    """Tells which pairs are picked, by a click or the keys; Shift and Ctrl pick several."""

    picked = Signal(object)
    """The keys of the pairs picked by hand, the one reached last first."""
    order_asked = Signal(str)
    taken = Signal()
    """Enter: work on what is picked."""
    left = Signal()
    """Up from the first line."""

    def __init__(self, style: Style) -> None:
        super().__init__()
        self._style = style
        self._telling = True
        self.lines = PairModel(self)
        self.setModel(self.lines)
        self._delegate = LineDelegate(style, self)
        self.setItemDelegate(self._delegate)
        self.heading = Heading(style, self)
        self.setHorizontalHeader(self.heading)
        self.heading.order_asked.connect(self.order_asked)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(LINE_HEIGHT)
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setVerticalScrollBar(ThinBar(style))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFrameShape(QTableView.Shape.NoFrame)
        self.setShowGrid(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setTabKeyNavigation(False)
        self.setWordWrap(False)
        self.setAccessibleName(self.tr("All pairs"))
        self.selectionModel().selectionChanged.connect(self._tell)
        self.set_style(style)

    def show_lines(self, lines: Sequence[PairLine], picked: Sequence[Key], *, sections: bool) -> None:
        """Show lines; those of `picked` that are among them are picked."""
        self._telling = False
        try:
            reset = self.lines.show_lines(lines, sections=sections)
            if reset:
                self._share_width()
            self.pick(picked, bring=reset)
        finally:
            self._telling = True

    def pick(self, keys: Sequence[Key], *, bring: bool) -> None:
        """Show these pairs as picked, without telling of it. `bring`: scroll to the first of them even if it was picked already."""
        wanted = set(keys)
        rows = [row for row, line in enumerate(self.lines.lines) if line.key in wanted]
        if rows == self.rows() and not bring:
            return
        telling, self._telling = self._telling, False
        chosen = QItemSelection()
        for row in rows:
            chosen.select(self.lines.index(row, 0), self.lines.index(row, len(self.lines.columns) - 1))
        self.selectionModel().select(chosen, QItemSelectionModel.SelectionFlag.ClearAndSelect)
        if rows:
            self.selectionModel().setCurrentIndex(self.lines.index(rows[0], 0), QItemSelectionModel.SelectionFlag.NoUpdate)
            self.scrollTo(self.lines.index(rows[0], 0))
        self._telling = telling

    def rows(self) -> list[int]:
        """The lines picked, from the top."""
        return sorted({index.row() for index in self.selectionModel().selectedIndexes()})

    def place_of(self, key: Key) -> QPoint | None:
        """The middle of a pair's line within the viewport; None where it is not shown."""
        row = next((number for number, line in enumerate(self.lines.lines) if line.key == key), None)
        return None if row is None else self.visualRect(self.lines.index(row, 0)).center()

    def set_style(self, style: Style) -> None:
        self._style = self._delegate.style_of_sheet = self.heading.style_of_sheet = style
        palette = palette_of(style)
        # A line picked is told by its weight and its rule, not by a colour behind it.
        palette.setColor(QPalette.ColorRole.Highlight, QColor(style.board))
        palette.setColor(QPalette.ColorRole.Base, QColor(style.board))
        self.setPalette(palette)
        self.viewport().update()
        self.heading.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.taken.emit()
        elif event.key() == Qt.Key.Key_Up and self.currentIndex().row() <= 0 and not event.modifiers():
            self.left.emit()
        else:
            super().keyPressEvent(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        super().mouseDoubleClickEvent(event)
        self.taken.emit()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        painter = QPainter(self.viewport())
        whole = self.viewport().height() // LINE_HEIGHT * LINE_HEIGHT
        if self.verticalScrollBar().maximum() > 0:
            # No line is shown in part; the view scrolls by whole ones.
            painter.fillRect(0, whole, self.viewport().width(), self.viewport().height() - whole, QColor(self._style.board))
        if self.hasFocus():
            paint_focus(painter, self, self._style, self.viewport().rect())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._share_width()

    def _share_width(self) -> None:
        whole = sum(share for _, share, _ in self.lines.columns)
        room = self.viewport().width()
        for number, (_, share, _) in enumerate(self.lines.columns):
            self.setColumnWidth(number, int(room * share / whole))

    def _tell(self) -> None:
        if self._telling:
            first = self.currentIndex().row()
            rows = sorted(self.rows(), key=lambda row: row != first)
            self.picked.emit([self.lines.lines[row].key for row in rows])
