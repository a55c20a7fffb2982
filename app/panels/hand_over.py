"""The Hand-over step: what can leave the program, with its options, and the cautions that go with it."""

from collections.abc import Callable, Mapping, Sequence
from functools import partial

from PySide6.QtCore import QDate, Qt, Signal
from PySide6.QtGui import QAction, QColor, QPalette
from PySide6.QtWidgets import QCheckBox, QComboBox, QHBoxLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from app import theme
from app.actions import tool_tip
from app.document.desk import Desk
from app.document.handing import ENDINGS
from app.hand_over.standing import rests_on_line
from app.jobs.file_ask import FileKind
from app.palette import palette_of
from app.panels.drop_list import DropList
from app.panels.scroll import Scroll
from app.panels.ticked import Ticked
from app.panels.words import Line, Word
from app.theme import Style

LABEL_WIDTH = 70
MOST_NAMED = 2
"""Names that a field of ticked names tells; of more it tells their number."""
USED: Mapping[FileKind, tuple[str, ...]] = {
    "report": ("date",),
    "limits": ("first", "second"),
    "envelope": ("section", "bodies", "running", "grown"),
    "template": ("section",),
    "bench": (),
    "picture": ("section",),
}
"""The options that each kind of file asks for."""


class HandOver(QWidget):
    """A word for each thing that can be handed over, its options, and what it rests on. Watches the desk's hand-over."""

    write_asked = Signal()
    folder_asked = Signal()

    def __init__(
        self,
        style: Style,
        actions: Mapping[str, QAction],
        names: Sequence[tuple[str, str]],
        desk: Desk,
        parent: QWidget | None = None,
    ) -> None:
        """`names`: actions and what each gives."""
        super().__init__(parent)
        self._style = style
        self._desk, self._handing = desk, desk.handing
        self.setAccessibleName(self.tr("Hand-over"))
        self.kinds = self._kind_words()
        self.endings: dict[str, Word] = {}
        for each in (ending for endings in ENDINGS.values() for ending in endings):
            if each not in self.endings:
                self.endings[each] = self._word(each, partial(self._choose_ending, each))
        self.date = QLineEdit(self._handing.options.date)
        self.date.setFont(theme.font(theme.TEXT))
        self.date.editingFinished.connect(self._take_date)
        self.lists = {name: self._list(name) for name in ("section", "first", "second")}
        self.bodies, self.running = Ticked(style, self._bodies_told), Ticked(style, self._drives_told)
        self.bodies.picked.connect(lambda names: self._handing.set_options(bodies=names))
        self.running.picked.connect(lambda names: self._handing.set_options(drives=names))
        self.grown = QCheckBox()
        self.grown.setFont(theme.font(theme.TEXT))
        self.grown.toggled.connect(lambda on: self._handing.set_options(grown=on))
        self._rows: dict[str, QWidget] = {}
        self.line = Line(style, size=theme.DATA, wrap=True)
        self.write = Word(style, self.tr("Write ..."), weight=theme.SEMIBOLD, tone="proved")
        self.write.setToolTip(tool_tip(actions["write_file"], self.tr))
        self.write.clicked.connect(self.write_asked)
        self.folder = Word(style, self.tr("Open the folder"))
        self.folder.clicked.connect(self.folder_asked)
        self._told = Line(style, size=theme.DATA, tone="quiet", wrap=True)
        self._told.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        self._lay_out(actions, names)
        self._outline_box()
        self._handing.changed.connect(self._show)
        desk.answered.connect(self._show)
        desk.prover.running_changed.connect(self._show)
        self._show()

    def say(self, sentences: Sequence[str]) -> None:
        """What the answer rests on and leaves out, and the caution."""
        self._told.say("\n\n".join(sentences))

    def words(self) -> str:
        """What stands under the things to hand over."""
        return self._told.whole()

    def set_style(self, style: Style) -> None:
        self._style = style
        for field in (self.date, self.grown):
            field.setPalette(palette_of(style))
        self._outline_box()

    def _outline_box(self) -> None:
        """Qt draws a box in a darker shade of the window's colour, which on a dark sheet nobody sees."""
        palette = self.grown.palette()
        palette.setColor(QPalette.ColorRole.Window, QColor(self._style.quiet_text))
        self.grown.setPalette(palette)

    def _word(self, text: str, choose: Callable[[], None]) -> Word:
        word = Word(self._style, text, checkable=True)
        word.clicked.connect(lambda _on=False: choose())
        # Pressed again, it stays chosen.
        word.clicked.connect(self._show)
        return word

    def _choose_ending(self, ending: str) -> None:
        self._handing.choose(self._handing.kind, ending)

    def _kind_words(self) -> dict[FileKind, Word]:
        words: dict[FileKind, str] = {
            "report": self.tr("Clearance report"),
            "limits": self.tr("Limits for a controller"),
            "envelope": self.tr("Envelope"),
            "template": self.tr("Template, 1 : 1"),
            "bench": self.tr("Bench sheet"),
            "picture": self.tr("Picture"),
        }
        return {kind: self._word(text, partial(self._handing.choose, kind)) for kind, text in words.items()}

    def _list(self, name: str) -> QComboBox:
        box = DropList(self._style)
        box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        box.setMinimumContentsLength(8)
        box.activated.connect(lambda _place: self._handing.set_options(**{name: box.currentData()}))
        return box

    def _lay_out(self, actions: Mapping[str, QAction], names: Sequence[tuple[str, str]]) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addWidget(Line(self._style, self.tr("What can be handed over"), size=theme.HEAD, weight=theme.SEMIBOLD))
        halves: tuple[tuple[FileKind, FileKind], ...] = (("report", "limits"), ("envelope", "template"), ("bench", "picture"))
        for first, second in halves:
            column.addLayout(_in_halves(self.kinds[first], self.kinds[second]))
        column.addSpacing(4)
        column.addWidget(self._row("ending", self.tr("As"), *self.endings.values()))
        column.addWidget(self._row("date", self.tr("Date"), self.date))
        column.addWidget(self._row("section", self.tr("Section"), self.lists["section"]))
        column.addWidget(self._row("bodies", self.tr("Bodies"), self.bodies))
        column.addWidget(self._row("running", self.tr("Running"), self.running))
        column.addWidget(self._row("first", self.tr("Table of"), self.lists["first"]))
        column.addWidget(self._row("second", self.tr("and"), self.lists["second"]))
        column.addWidget(self.grown)
        self._rows["grown"] = self.grown
        column.addWidget(self.line)
        row = QHBoxLayout()
        row.addWidget(self.write)
        row.addWidget(self.folder)
        row.addStretch(1)
        column.addLayout(row)
        for name, gives in names:
            word = Word(self._style, actions[name].text())
            word.setToolTip(gives)
            word.setAccessibleDescription(gives)
            word.clicked.connect(actions[name].trigger)
            column.addWidget(word)
        # In a low window it scrolls, by the keys too: no caution may be cut off.
        rest = Scroll(self._style, self._told)
        rest.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        rest.setAccessibleName(self.tr("What the answer rests on"))
        column.addWidget(rest, 1)

    def _row(self, name: str, label: str, *fields: QWidget) -> QWidget:
        row = QWidget()
        across = QHBoxLayout(row)
        across.setContentsMargins(3, 0, 6, 0)
        across.setSpacing(theme.RHYTHM)
        told = QLabel(label)
        told.setFont(theme.font(theme.TEXT))
        told.setFixedWidth(LABEL_WIDTH)
        across.addWidget(told)
        for field in fields:
            across.addWidget(field, 0 if name == "ending" else 1)
            if name != "ending" and label:
                field.setAccessibleName(self.tr("Second drive of the table") if name == "second" else label)
        if name == "ending":
            across.addStretch(1)
        self._rows[name] = row
        return row

    def _take_date(self) -> None:
        """Anything but a day is refused: the one before stays."""
        day = QDate.fromString(self.date.text().strip(), Qt.DateFormat.ISODate)
        if day.isValid():
            self._handing.set_options(date=day.toString(Qt.DateFormat.ISODate))
        self.date.setText(self._handing.options.date)

    def _bodies_told(self, ticked: Sequence[str], _offered: Sequence[str]) -> str:
        if len(ticked) > MOST_NAMED:
            return self.tr("{number} bodies together").format(number=len(ticked))
        return self.tr(" and ").join(ticked)

    def _drives_told(self, ticked: Sequence[str], offered: Sequence[str]) -> str:
        if len(ticked) == len(offered):
            return self.tr("all drives")
        if len(ticked) > MOST_NAMED:
            return self.tr("{number} of {count} drives").format(number=len(ticked), count=len(offered))
        return self.tr(" and ").join(ticked)

    def _show(self) -> None:
        handing = self._handing
        for kind, word in self.kinds.items():
            word.setChecked(kind == handing.kind)
        for ending, word in self.endings.items():
            word.setVisible(ending in ENDINGS[handing.kind])
            word.setChecked(ending == handing.ending)
        for name, row in self._rows.items():
            row.setVisible(name == "ending" or name in USED[handing.kind])
        self._show_lists()
        self.line.say(rests_on_line(handing, sweeping=self._desk.prover.running, tr=self.tr))
        self.write.setEnabled(handing.ready)
        self.folder.setEnabled(handing.folder is not None)

    def _show_lists(self) -> None:
        handing, options, project = self._handing, self._handing.options, self._handing.project
        sections = [section.name for section in project.sections] if project else []
        drives = handing.drives()
        _fill(self.lists["section"], [(name, name) for name in sections], handing.section())
        self.bodies.offer(handing.bodies(), handing.group())
        self.running.offer(drives, handing.running())
        _fill(self.lists["first"], [(self.tr("no drives"), ""), *((name, name) for name in drives)], options.first)
        others = [(name, name) for name in drives if name != options.first]
        _fill(self.lists["second"], [(self.tr("no other drive"), ""), *others], options.second)
        gap = project.required_gap if project else 0.0
        self.grown.setText(self.tr("Grown by the required gap, {gap:.2f} mm").format(gap=gap))


def _fill(box: QComboBox, entries: Sequence[tuple[str, str]], chosen: str) -> None:
    """Offer entries (words, what they stand for); a list that is the same stays as it is, open or not."""
    if [(box.itemText(place), box.itemData(place)) for place in range(box.count())] != list(entries):
        box.clear()
        for words, what in entries:
            box.addItem(words, what)
    box.setCurrentIndex(max(box.findData(chosen), 0))


def _in_halves(left: QWidget, right: QWidget) -> QHBoxLayout:
    row = QHBoxLayout()
    row.addWidget(left)
    row.addStretch(1)
    row.addWidget(right)
    right.setFixedWidth(140)
    return row
