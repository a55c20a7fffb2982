"""The interference timeline as a widget: it paints what it is given and says what the hand and the keys ask for."""

import time
from dataclasses import replace

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QFocusEvent, QHelpEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPixmap, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from app.panels.words import as_tip, paint_focus
from app.theme import Style
from app.timeline import cells, curve, frame, layout
from app.timeline.layout import Band, Place
from app.timeline.showing import Showing
from core.sweep.timeline import Row, band_edges

HEIGHT = 228
TURN_SECONDS = 0.002
"""What a turn of the window gives to rows that have arrived."""
FINE_SHARE = 0.1
"""A fine step, in columns."""


class TimelineView(QWidget):
    """Owns nothing but where it is scrolled to. Rows are given by their place in the timeline."""

    row_picked = Signal(int)
    drive_picked = Signal(str)
    pose_asked = Signal(int, str, float)
    """Row, drive, value: the others at home."""
    together_asked = Signal(int)
    """The deepest pose of a row's combined sweep."""
    unchecked_asked = Signal()
    ghost_asked = Signal(object)
    """(row, drive, value), (row, None, 0) for the together column, or None."""

    def __init__(self, style: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.showing = Showing(style, (1280, HEIGHT))
        self._framed = False
        self._still: tuple[Showing, QPixmap] | None = None
        self._named: tuple[Showing, Row | None, QRectF] | None = None
        # Painting all rows takes longer than a frame: they get turns of their own, after the words of the answer.
        self._other_rows = QTimer(self, interval=0, singleShot=True)
        self._other_rows.timeout.connect(self._paint_some)
        self._waits = False
        self._part: tuple[Showing, QPixmap, list[tuple[Place, int]]] | None = None
        self.setFixedHeight(HEIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(self.tr("Interference timeline"))

    def show_state(self, showing: Showing) -> None:
        """Take what is to be shown; size, scale and scroll place stay the widget's own."""
        moved_to = showing.selected != self.showing.selected or showing.timeline is not self.showing.timeline
        ratio = self.devicePixelRatioF()
        before = self.showing
        self.showing = replace(showing, size=(self.width(), self.height()), ratio=ratio, offset=before.offset).taking_over(before)
        if not self.showing.stands_as(before):
            self._hold_offset(follow=moved_to)
        if self._same_rows(before) and self._may_wait():
            self._begin_rows()
        if moved_to:
            self.setAccessibleDescription(self.row_words())
        if not self.showing.looks_as(before):
            self._update_since(before)

    def _update_since(self, before: Showing) -> None:
        """Paint anew what differs: while a drive runs only where its cursor was and is, and the gap told."""
        showing = self.showing
        moves = showing.stands_as(before) and self._still is not None and showing.stands_as(self._still[0])
        if not moves or showing.column != before.column:
            self.update()
            return
        for area in (*frame.moving_areas(before), *frame.moving_areas(showing)):
            self.update(area.toAlignedRect())

    def _same_rows(self, before: Showing) -> bool:
        """Whether the same drives were shown before, with or without rows, so that these may wait a moment."""
        return self.showing.drives == before.drives and self.showing.project is not None and before.project is not None

    def _begin_rows(self) -> None:
        """In the turn after the next: the next one paints the words and the board."""
        self._waits = self._waits or not self.behind
        self._other_rows.start()

    def _may_wait(self) -> bool:
        """Whether there is a picture, of other rows or with another drive or pair in hand, that can stay until they are painted."""
        if self._still is None or self.showing.stands_as(self._still[0]):
            return False
        there = self._still[0]
        return (self.showing.style, self.showing.size, self.showing.ratio) == (there.style, there.size, there.ratio)

    def set_style(self, style: Style) -> None:
        self.showing = replace(self.showing, style=style).taking_over(self.showing)
        self.update()

    @property
    def behind(self) -> bool:
        """Whether rows that have arrived are not painted yet."""
        return self._other_rows.isActive()

    def row_words(self) -> str:
        """The selected row as one line, for those who do not see it."""
        row = self.showing.row
        if row is None:
            return self.tr("No pair selected")
        first, second = row.between
        told = self.tr("{first} and {second}: lowest gap {gap} mm, {where}; proved at least {floor}")
        where = frame.where_text(self.showing, row)
        return told.format(first=first, second=second, gap=frame.signed(row.judged), where=where, floor=frame.floor_text(row))

    def sizeHint(self) -> QSize:
        return QSize(1280, HEIGHT)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        showing = self.showing
        if self.behind and self._still is not None:
            painter.drawPixmap(0, 0, self._still[1])
            return
        if self._still is None and not showing.timeline.rows:
            # A window that opens has all of itself to paint in one turn: what stands around the rows that are to come has another.
            self._begin_rows()
            painter.fillRect(self.rect(), QColor(showing.style.field))
            return
        painter.drawPixmap(0, 0, self._still_part())
        window = QRectF(0, showing.rows_top, showing.size[0], showing.rows_bottom - showing.rows_top)
        painter.setClipRect(window)
        for place, top in showing.visible():
            if place.row is not None and place.row == showing.selected and showing.here is not None:
                frame.paint_here(painter, showing, top)
        painter.setClipping(False)
        frame.paint_cursor(painter, showing)
        self._name_over_cursor(painter)
        self._paint_scroll(painter)
        if self._framed:
            paint_focus(painter, self, showing.style)

    def _name_over_cursor(self, painter: QPainter) -> None:
        """The name of the required line can be read where the cursor passes it, too."""
        showing = self.showing
        if self._named is None or not showing.stands_as(self._named[0]):
            self._named = (showing, *_named(showing))
        _, row, area = self._named
        if row is not None and any(band.opened and area.left() <= frame.cursor_at(showing, band) <= area.right() for band in showing.bands):
            painter.setClipRect(QRectF(0, showing.rows_top, showing.size[0], showing.rows_bottom - showing.rows_top))
            curve.name_required(painter, showing, row, area)
            painter.setClipping(False)

    def _still_part(self) -> QPixmap:
        """All that stands while a drive runs, painted anew only when it changes."""
        showing = self.showing
        if self._still is None or not showing.stands_as(self._still[0]):
            picture, painter = self._blank(showing)
            for place, top in showing.visible():
                _paint_place(painter, showing, place, top)
            _paint_around(painter, showing)
            painter.end()
            self._still = (showing, picture)
        return self._still[1]

    def _paint_some(self) -> None:
        """Paint a few of the rows that have arrived; the picture before stays until all are there."""
        if self._waits:
            self._waits = False
            self._other_rows.start()
            return
        showing = self.showing
        if self._part is None or not showing.stands_as(self._part[0]):
            picture, painter = self._blank(showing)
            self._part = (showing, picture, list(showing.visible()))
        else:
            painter = QPainter(self._part[1])
        _, picture, left = self._part
        until = time.perf_counter() + TURN_SECONDS
        while left and time.perf_counter() < until:
            _paint_place(painter, showing, *left.pop(0))
        if not left:
            _paint_around(painter, showing)
        # Not kept for the next turn: a picture must not go while it is painted on.
        painter.end()
        if left:
            self._other_rows.start()
        else:
            self._still, self._part = (showing, picture), None
            self.update()

    def _blank(self, showing: Showing) -> tuple[QPixmap, QPainter]:
        picture = QPixmap(self.size() * showing.ratio)
        picture.setDevicePixelRatio(showing.ratio)
        picture.fill(QColor(showing.style.field))
        return picture, QPainter(picture)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """The frame is for those who came by the keyboard."""
        self._framed = event.reason() in (Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason)
        super().focusInEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        sized = replace(self.showing, size=(self.width(), self.height()), ratio=self.devicePixelRatioF())
        self.showing = sized.taking_over(self.showing)
        self._hold_offset(follow=False)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton:
            self._pressed(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        row, band = self._hit(event.position())
        pressed = bool(event.buttons() & Qt.MouseButton.LeftButton)
        if row is not None and band is not None and pressed:
            self.pose_asked.emit(row, band.drive, band.value_at(event.position().x()))
        elif row is not None and band is not None and band.drive in self.showing.timeline.rows[row].cells:
            self.ghost_asked.emit((row, band.drive, band.value_at(event.position().x())))
        elif row is not None and self._in_together(event.position().x()):
            self.ghost_asked.emit((row, None, 0.0))
        else:
            self.ghost_asked.emit(None)

    def leaveEvent(self, event: QEvent) -> None:
        super().leaveEvent(event)
        self.ghost_asked.emit(None)

    def wheelEvent(self, event: QWheelEvent) -> None:
        turned = event.pixelDelta().y() or event.angleDelta().y() // 120 * layout.ROW_HEIGHT * 2
        self._scroll_to(self.showing.offset - turned)
        event.accept()

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            self._tell(event)
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        modifiers = event.modifiers()
        key = event.key()
        if key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self.step_row(-1 if key == Qt.Key.Key_Up else 1)
        elif key in (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown):
            self.step_row(-8 if key == Qt.Key.Key_PageUp else 8)
        elif key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            way = -1 if key == Qt.Key.Key_Left else 1
            if modifiers & Qt.KeyboardModifier.ControlModifier:
                self.step_edge(way)
            else:
                self.step_column(way * (FINE_SHARE if modifiers & Qt.KeyboardModifier.ShiftModifier else 1))
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.pose_column()
        else:
            super().keyPressEvent(event)

    def step_row(self, by: int) -> None:
        """Take a row `by` places further in hand, held at the ends."""
        last = len(self.showing.timeline.rows) - 1
        if last >= 0:
            here = self.showing.selected
            self.row_picked.emit(0 if here is None else min(max(here + by, 0), last))

    def step_column(self, by: float) -> None:
        """Move the ghost `by` columns along the drive in hand."""
        band = self.showing.open_band()
        if band is not None:
            self._ghost(band, self._column_value(band) + by * (band.end - band.start) / band.columns)

    def step_edge(self, way: int) -> None:
        """Move the ghost to the next value worth stopping at: a breach's end, its deepest place, home, an end of travel."""
        band, row, project = self.showing.open_band(), self.showing.row, self.showing.project
        if band is None or row is None or project is None:
            return
        here = self._column_value(band)
        slack = 1e-9 * (band.end - band.start)
        edges = [edge for edge in band_edges(project, row, band.drive) if (edge - here) * way > slack]
        if edges:
            self._ghost(band, min(edges, key=lambda edge: abs(edge - here)))

    def pose_column(self) -> None:
        """Pose the board as the ghost's column says."""
        band, row = self.showing.open_band(), self.showing.selected
        if band is not None and row is not None:
            self.pose_asked.emit(row, band.drive, self._column_value(band))

    def _ghost(self, band: Band, value: float) -> None:
        row = self.showing.selected
        if row is not None:
            self.ghost_asked.emit((row, band.drive, min(max(value, band.start), band.end)))

    def _column_value(self, band: Band) -> float:
        if self.showing.column and self.showing.column[0] == band.drive:
            return self.showing.column[1]
        return self.showing.values.get(band.drive, band.home)

    def _pressed(self, point: QPointF) -> None:
        row, band = self._hit(point)
        if row is None and self.showing.unchecked and frame.rest_area(self.showing).contains(point):
            self.unchecked_asked.emit()
        elif row is None:
            on_head = layout.band_at(self.showing.bands, point.x())
            if on_head is not None and not self.showing.rows_top <= point.y() < self.showing.rows_bottom:
                self.drive_picked.emit(on_head.drive)
        elif band is not None:
            self.pose_asked.emit(row, band.drive, band.value_at(point.x()))
        elif self._in_together(point.x()):
            self.together_asked.emit(row)
        else:
            self.row_picked.emit(row)

    def _hit(self, point: QPointF) -> tuple[int | None, Band | None]:
        if not self.showing.rows_top <= point.y() < self.showing.rows_bottom:
            return None, None
        place = layout.place_at(self.showing.places, point.y() - self.showing.rows_top + self.showing.offset)
        if place is None or place.row is None:
            return None, None
        return place.row, layout.band_at(self.showing.bands, point.x())

    def _in_together(self, x: float) -> bool:
        return self.showing.together_left <= x < self.showing.together_left + layout.TOGETHER_WIDTH

    def _tell(self, event: QHelpEvent) -> None:
        row, band = self._hit(QPointF(event.pos()))
        if frame.legend_area(self.showing).contains(QPointF(event.pos())):
            QToolTip.showText(event.globalPos(), as_tip(frame.legend_words()), self)
            return
        if row is None:
            QToolTip.hideText()
            return
        QToolTip.showText(event.globalPos(), as_tip(self._tip(self.showing.timeline.rows[row], band)), self)

    def _tip(self, row: Row, band: Band | None) -> str:
        first, second = row.between
        if band is not None and band.drive not in row.cells:
            return self.tr("{drive} does not move {first} and {second} against each other").format(
                drive=band.drive, first=first, second=second
            )
        return self.tr("{first} and {second}: {gap} mm, {where}").format(
            first=first, second=second, gap=frame.signed(row.judged), where=frame.where_text(self.showing, row)
        )

    def _hold_offset(self, *, follow: bool) -> None:
        showing = self.showing
        offset = min(showing.offset, showing.most_offset)
        place = next((place for place in showing.places if place.row == showing.selected and place.row is not None), None)
        if follow and place is not None:
            offset = layout.scroll_to(place, offset=offset, height=showing.rows_bottom - showing.rows_top)
            offset = min(max(offset, 0), showing.most_offset)
        self.showing = replace(showing, offset=offset).taking_over(showing)

    def _scroll_to(self, offset: int) -> None:
        held = min(max(offset, 0), self.showing.most_offset)
        self.showing = replace(self.showing, offset=held).taking_over(self.showing)
        self.update()

    def _paint_scroll(self, painter: QPainter) -> None:
        showing = self.showing
        if showing.most_offset:
            height = showing.rows_bottom - showing.rows_top
            bar = max(24.0, height * height / showing.stack_height)
            top = showing.rows_top + (height - bar) * showing.offset / showing.most_offset
            painter.fillRect(QRectF(showing.size[0] - 6, top, 3, bar), QColor(showing.style.rule))


def _paint_place(painter: QPainter, showing: Showing, place: Place, top: int) -> None:
    """A row or a divider, inside the rows' part of the picture."""
    window = QRectF(0, showing.rows_top, showing.size[0], showing.rows_bottom - showing.rows_top)
    painter.setClipRect(window)
    if place.row is None:
        frame.paint_divider(painter, showing, place, top)
    else:
        row, selected = showing.timeline.rows[place.row], place.row == showing.selected
        frame.paint_name(painter, showing, row, top, selected=selected)
        cells.paint_row(painter, showing, row, _strip(place, top) if selected else top + 2)
        if selected:
            curve.paint_curve(painter, showing, row, top=top + 4, bottom=_strip(place, top) - 3)
            painter.setClipRect(window)
        frame.paint_figures(painter, showing, row, top, selected=selected)
    painter.setClipping(False)


def _strip(place: Place, top: int) -> int:
    """Where the cells of the selected row begin, below its curve."""
    return top + place.height - layout.STRIP_HEIGHT - 4


def _named(showing: Showing) -> tuple[Row | None, QRectF]:
    """The selected row whose curve is seen, and where its required line is named."""
    for place, top in showing.visible():
        if place.row is not None and place.row == showing.selected:
            row = showing.timeline.rows[place.row]
            scale = curve.scale_of(row, top=top + 4, bottom=_strip(place, top) - 3)
            return row, curve.required_area(showing, row, scale)
    return None, QRectF()


def _paint_around(painter: QPainter, showing: Showing) -> None:
    frame.paint_heads(painter, showing)
    frame.paint_bare(painter, showing)
    frame.paint_foot(painter, showing)
