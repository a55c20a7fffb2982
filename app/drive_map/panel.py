"""The map's place beside the section: which two drives, the others at home or anywhere, the map, and what is found at a place."""

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from app import theme
from app.document.desk import Desk
from app.drive_map import words
from app.drive_map.legend import Legend
from app.drive_map.plane import cell_at
from app.drive_map.plot import MapPlot
from app.panels.drop_list import DropList
from app.panels.words import Line, Word
from app.theme import Style
from core.model.names import DriveName
from core.sweep.drive_map import RULED_OUT, Others

TOLD_LINES = 3


class MapPanel(QWidget):
    """Watches the desk's two-drive map and its pose; asks the map for what the user wants."""

    def __init__(self, style: Style, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self._desk = desk
        self._map = desk.two_drives
        self._pointed: tuple[float, float] | None = None
        self.setAccessibleName(self.tr("Two-drive map"))
        self.head = Line(style, self.tr("Two-drive map"), size=theme.HEAD, weight=theme.SEMIBOLD)
        self.head.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.state = Line(style, tone="quiet", size=theme.DATA, wrap=True)
        self.state.setContentsMargins(theme.RHYTHM, 0, 0, 0)
        self.state.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.first = Line(style)
        self.second = DropList(style)
        self.second.setAccessibleName(self.tr("Second drive of the map"))
        self.at_home = Word(style, self.tr("at home"), checkable=True)
        self.at_home.setAccessibleName(self.tr("Other drives at home"))
        self.anywhere = Word(style, self.tr("anywhere"), checkable=True)
        self.anywhere.setAccessibleName(self.tr("Other drives anywhere in their travel"))
        self.plot = MapPlot(style)
        self.legend = Legend(style)
        self.told = Line(style, wrap=True, size=theme.DATA)
        self.told.setFixedHeight(TOLD_LINES * 16)
        self.told.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        self._lay_out()
        self._watch()

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(12, theme.RHYTHM, 12, 4)
        column.setSpacing(4)
        column.addLayout(_row((self.head, 0), (self.state, 1)))
        column.addLayout(_row((self.first, 1), (self.second, 0)))
        others = Line(self._style, self.tr("Other drives"))
        column.addLayout(_row((others, 1), (self.at_home, 0), (self.anywhere, 0)))
        column.addWidget(self.plot, 1)
        column.addWidget(self.legend)
        column.addWidget(self.told)

    def _watch(self) -> None:
        self._map.changed.connect(self._show_map)
        self._map.mapped.connect(self._show_map)
        self._desk.posed.connect(self._show_pose)
        self.second.activated.connect(lambda _place: self._map.pick_second(DriveName(self.second.currentText())))
        self.at_home.clicked.connect(lambda: self._take_others("home"))
        self.anywhere.clicked.connect(lambda: self._take_others("any"))
        self.plot.pressed.connect(self._press)
        self.plot.pose_asked.connect(self._map.put)
        self.plot.pointed.connect(self._point)

    def set_style(self, style: Style) -> None:
        self._style = style
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(self._style.board))
        painter.fillRect(0, 0, 1, self.height(), QColor(self._style.rule))

    def _take_others(self, others: Others) -> None:
        self._map.set_others(others)
        self._show_others()

    def _show_others(self) -> None:
        self.at_home.setChecked(self._map.others == "home")
        self.anywhere.setChecked(self._map.others == "any")

    def _show_map(self) -> None:
        found, drives = self._map.found, self._map.records()
        self.plot.show_map(drives, found, fresh=self._map.fresh)
        self.legend.show_ruled_out(on=found is not None and bool(np.any(found.state == RULED_OUT)))
        self._show_others()
        self.state.say(words.standing(found, mapping=self._map.mapping, tr=self.tr) if self._map.fault is None else self.tr("not mapped"))
        if drives is not None:
            self._show_drives(drives[0].name, drives[1].name)
        self._show_pose()

    def _show_drives(self, first: DriveName, second: DriveName) -> None:
        self.first.say(self.tr("Across {drive}, upward").format(drive=first))
        project = self._map.project
        names = [drive.name for drive in project.drives if drive.name != first] if project else []
        if names != [self.second.itemText(place) for place in range(self.second.count())]:
            self.second.clear()
            self.second.addItems(names)
        self.second.setCurrentText(second)

    def _show_pose(self) -> None:
        if self._map.on:
            self.plot.show_pose(self._map.values(), told=self._map.tells_of_pose())
            self._tell()

    def _point(self, values: tuple[float, float] | None) -> None:
        self._pointed = values
        self._tell()

    def _press(self, first: float, second: float) -> None:
        """A press on a breach takes its pair in hand, so that the board shows the gap that is meant."""
        found = self._map.found
        place = int(found.pair[cell_at(found, (first, second))]) if found is not None else -1
        if place >= 0:
            self._map.pick_pair(place)

    def _tell(self) -> None:
        found, drives, project = self._map.found, self._map.drives, self._map.project
        values = self._pointed or self._map.values()
        if drives is None or project is None or values is None:
            self.told.say("")
            return
        if self._map.fault is not None:
            self.told.say(words.fault_sentence(self._map.fault, self.tr))
            return
        told = words.place(found, values, drives, project, self.tr)
        if self._pointed is None and not self._map.tells_of_pose():
            told = self.tr("{told} On the board other drives are not at home.").format(told=told)
        self.told.say(" ".join(filter(None, (told, words.left_out(found, self.tr)))))
        self.plot.setAccessibleDescription(told)


def _row(*widgets: tuple[QWidget, int]) -> QHBoxLayout:
    row = QHBoxLayout()
    row.setSpacing(theme.RHYTHM)
    for widget, stretch in widgets:
        row.addWidget(widget, stretch)
    return row
