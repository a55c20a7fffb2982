"""The map itself: cells over two axes, home marked, the pose as a dot that the hand and the keys move."""

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QImage, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app import theme
from app.board.scale import written
from app.drive_map.picture import picture
from app.drive_map.plane import Plane
from app.panels.words import paint_focus
from app.theme import Style
from core.model.project import Drive
from core.sweep.drive_map import DriveMap

LEFT, RIGHT, TOP, BOTTOM = 52, 14, 10, 40
DOT, HOME = 5.5, 3.5
"""Radius in logical pixels of the pose's dot and of home's ring."""
EDGE = 3.0
"""Logical pixels between words and the edge."""
COARSE_SHARE, FINE = 1.0 / 64.0, 0.1
"""A step of the keys where there are no cells yet, as a share of travel; a fine step, as a share of a step."""

STEPS = {Qt.Key.Key_Left: (-1, 0), Qt.Key.Key_Right: (1, 0), Qt.Key.Key_Down: (0, -1), Qt.Key.Key_Up: (0, 1)}


def beside_edge(x: float, wide: float, width: float) -> float:
    """The left of words `wide` in the middle of which `x` lies, moved in where they would not end before the edge at `width`."""
    return min(x - wide / 2.0, width - EDGE - wide)


class MapPlot(QWidget):
    """Shows what it is told; tells where the pointer is and where the board shall be posed."""

    pose_asked = Signal(float, float)
    pressed = Signal(float, float)
    """A press on the map, before the pose that it asks for."""
    pointed = Signal(object)
    """The drive values under the pointer, or None."""

    def __init__(self, style: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self._drives: tuple[Drive, Drive] | None = None
        self._found: DriveMap | None = None
        self._fresh = False
        self._values: tuple[float, float] | None = None
        self._told = True
        self._image: tuple[tuple[object, ...], QImage] | None = None
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.CrossCursor)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_map(self, drives: tuple[Drive, Drive] | None, found: DriveMap | None, *, fresh: bool) -> None:
        """Show the cells over two drives; `found` None: none yet."""
        self._drives, self._found, self._fresh = drives, found, fresh
        names = [drive.name for drive in drives] if drives else ["", ""]
        self.setAccessibleName(self.tr("Two-drive map: {first} across, {second} upward").format(first=names[0], second=names[1]))
        self.update()

    def show_pose(self, values: tuple[float, float] | None, *, told: bool) -> None:
        """Show where the drives are; hollow where the map does not tell of that pose."""
        if (values, told) != (self._values, self._told):
            self._values, self._told = values, told
            self.update()

    def set_style(self, style: Style) -> None:
        self._style = style
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(340, 320)

    def minimumSizeHint(self) -> QSize:
        return QSize(200, 160)

    def plane(self) -> Plane | None:
        """Where the map stands in the widget."""
        if self._drives is None:
            return None
        return Plane(self._drives, LEFT, TOP, max(self.width() - LEFT - RIGHT, 1), max(self.height() - TOP - BOTTOM, 1))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        plane, at = self.plane(), event.position()
        if event.button() == Qt.MouseButton.LeftButton and plane is not None:
            values = plane.values(at.x(), at.y())
            self.pressed.emit(*values)
            self.pose_asked.emit(*values)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        plane, at = self.plane(), event.position()
        if plane is None:
            return
        held = bool(event.buttons() & Qt.MouseButton.LeftButton)
        if held:
            self.pose_asked.emit(*plane.values(at.x(), at.y()))
        self.pointed.emit(plane.values(at.x(), at.y()) if held or plane.holds(at.x(), at.y()) else None)

    def leaveEvent(self, event: QEvent) -> None:
        self.pointed.emit(None)
        super().leaveEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = STEPS.get(Qt.Key(event.key()))
        if step is None or self._drives is None or self._values is None:
            event.ignore()
            return
        fine = FINE if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1.0
        first, second = (
            min(max(value + by * fine * self._step(side), drive.start), drive.end)
            for side, (drive, value, by) in enumerate(zip(self._drives, self._values, step, strict=True))
        )
        self.pointed.emit(None)
        self.pose_asked.emit(first, second)

    def _step(self, side: int) -> float:
        if self._found is not None:
            edges = self._found.edges[side]
            return float(edges[1] - edges[0])
        drive = self._drives[side] if self._drives else None
        return (drive.end - drive.start) * COARSE_SHARE if drive else 0.0

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        plane = self.plane()
        if plane is None:
            return
        area = QRectF(plane.left, plane.top, plane.width, plane.height)
        if self._found is not None:
            painter.drawImage(area.topLeft(), self._cells(plane, self._found))
        self._paint_home(painter, plane)
        painter.setPen(QPen(QColor(self._style.ink), theme.NARROW))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(area)
        self._paint_axes(painter, plane)
        self._paint_dot(painter, plane)
        paint_focus(painter, self, self._style)

    def _cells(self, plane: Plane, found: DriveMap) -> QImage:
        """The picture of the cells, made again only where it would differ."""
        ratio = self.devicePixelRatioF()
        key = (found, self._style, plane.width, plane.height, ratio, self._fresh)
        if self._image is None or self._image[0] != key:
            made = picture(found, self._style, width=plane.width, height=plane.height, ratio=ratio, fresh=self._fresh)
            self._image = (key, made)
        return self._image[1]

    def _paint_home(self, painter: QPainter, plane: Plane) -> None:
        x, y = plane.point((plane.drives[0].home, plane.drives[1].home))
        centre_line = QPen(QColor(self._style.ink), theme.NARROW)
        centre_line.setDashPattern([10.0, 3.0, 2.0, 3.0])
        painter.setPen(centre_line)
        painter.drawLine(QPointF(x, plane.top), QPointF(x, plane.top + plane.height))
        painter.drawLine(QPointF(plane.left, y), QPointF(plane.left + plane.width, y))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(self._style.ink), theme.WIDE))
        painter.setBrush(QColor(self._style.board))
        painter.drawEllipse(QPointF(x, y), HOME, HOME)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)

    def _paint_axes(self, painter: QPainter, plane: Plane) -> None:
        painter.setFont(theme.font(theme.RULER))
        painter.setPen(QColor(self._style.quiet_text))
        foot, middle = plane.top + plane.height, Qt.AlignmentFlag.AlignVCenter
        values, step = plane.numbers(0)
        for value in values:
            x, _ = plane.point((value, plane.drives[1].start))
            painter.drawLine(QPointF(x, foot), QPointF(x, foot + 4))
            words = self._number(0, value, step)
            wide = painter.fontMetrics().horizontalAdvance(words) + 2.0
            painter.drawText(QRectF(beside_edge(x, wide, self.width()), foot + 4, wide, 15), Qt.AlignmentFlag.AlignHCenter | middle, words)
        values, step = plane.numbers(1)
        for value in values:
            _, y = plane.point((plane.drives[0].start, value))
            painter.drawLine(QPointF(plane.left - 4, y), QPointF(plane.left, y))
            painter.drawText(QRectF(0, y - 8, plane.left - 6, 16), Qt.AlignmentFlag.AlignRight | middle, self._number(1, value, step))
        painter.setPen(QColor(self._style.ink))
        painter.setFont(theme.font(theme.DATA))
        first, second = plane.drives
        painter.drawText(QRectF(plane.left, foot + 19, plane.width, 18), Qt.AlignmentFlag.AlignHCenter | middle, first.name)
        painter.save()
        painter.translate(10.0, plane.top + plane.height / 2.0)
        painter.rotate(-90.0)
        painter.drawText(QRectF(-plane.height / 2.0, -9, plane.height, 18), Qt.AlignmentFlag.AlignHCenter | middle, second.name)
        painter.restore()

    def _number(self, side: int, value: float, step: float) -> str:
        unit = self._drives[side].unit if self._drives else "deg"
        return written(value, step) + ("\N{DEGREE SIGN}" if unit == "deg" else " mm")

    def _paint_dot(self, painter: QPainter, plane: Plane) -> None:
        if self._values is None:
            return
        at = QPointF(*plane.point(self._values))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setBrush(QColor(self._style.board))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.save()
        # Beyond the map there is nothing to stand out from, but numbers that it would eat into.
        painter.setClipRect(QRectF(plane.left, plane.top, plane.width, plane.height))
        painter.drawEllipse(at, DOT + 2.5, DOT + 2.5)
        painter.restore()
        painter.setPen(QPen(QColor(self._style.ink), theme.WIDE))
        painter.setBrush(QColor(self._style.ink if self._told else self._style.board))
        painter.drawEllipse(at, DOT, DOT)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
