"""The preview on the board's place: the pages, or the text, of the file that is to be handed over."""

from typing import Final

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QColor, QFontDatabase, QPainter, QPaintEvent, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QPlainTextEdit, QStackedWidget, QVBoxLayout, QWidget

from app import theme
from app.document.handing import Handing
from app.hand_over.pages import SIZE_AT_FIT, STEP, Pages
from app.jobs.file_ask import FileKind
from app.palette import palette_of
from app.panels.scroll import ThinBar
from app.panels.words import Line, Word
from app.theme import Style

MOST_LETTERS = 60_000
"""Letters of a text that are shown: more would hold up the window, and nobody reads on here."""

WORD_AIR = 3
"""Logical pixels that words to press leave free at their sides: what they say ends where the margin is."""

DRAWINGS: Final[tuple[FileKind, ...]] = ("envelope", "picture")
"""Kinds of one page, on which a drawing stands."""


class Preview(QWidget):
    """Watches the hand-over at hand and shows what was made."""

    def __init__(self, style: Style, handing: Handing) -> None:
        super().__init__()
        self._style = style
        self._handing = handing
        self._shown: object = None
        self._begun: FileKind | None = None
        self.setAccessibleName(self.tr("Preview of the file"))
        self.head = Line(style, size=theme.DATA, tone="quiet")
        self.fit = Word(style, self.tr("Fit width"))
        self.larger = Word(style, self.tr("Larger"), key="+")
        self.smaller = Word(style, self.tr("Smaller"), key="\N{MINUS SIGN}")
        self.pages = Pages(style)
        self.text = QPlainTextEdit()
        self.text.setReadOnly(True)
        self.text.setLineWrapMode(QPlainTextEdit.LineWrapMode.NoWrap)
        self.text.setFont(QFontDatabase.systemFont(QFontDatabase.SystemFont.FixedFont))
        self.text.setFrameShape(QPlainTextEdit.Shape.NoFrame)
        self.text.setTabChangesFocus(True)
        self.text.setVerticalScrollBar(ThinBar(style))
        self.text.document().setDocumentMargin(theme.MARGIN)
        self.text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByKeyboard | Qt.TextInteractionFlag.TextSelectableByMouse)
        self.text.setAccessibleName(self.tr("Text of the file"))
        self._lay_out()
        self.fit.clicked.connect(lambda: self.pages.set_zoom(SIZE_AT_FIT))
        self.larger.clicked.connect(lambda: self.pages.set_zoom(self.pages.zoom * STEP))
        self.smaller.clicked.connect(lambda: self.pages.set_zoom(self.pages.zoom / STEP))
        self.pages.wanted.connect(handing.show_pages)
        handing.paged.connect(self.pages.take)
        handing.changed.connect(self._show)

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.setContentsMargins(theme.MARGIN, 4, theme.MARGIN - WORD_AIR, 4)
        row.setSpacing(14)
        row.addWidget(self.head, 1)
        for word in (self.fit, self.larger, self.smaller):
            row.addWidget(word)
        self.views = QStackedWidget()
        self.views.addWidget(self.pages)
        self.views.addWidget(self.text)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(row)
        column.addWidget(self.views, 1)

    def set_style(self, style: Style) -> None:
        self._style = style
        self.text.setPalette(palette_of(style))
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(600, 400)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._show()

    def paintEvent(self, _event: QPaintEvent) -> None:
        QPainter(self).fillRect(self.rect(), QColor(self._style.board))

    def _show(self) -> None:
        made, asked = self._handing.made, self._handing.asked
        if asked is None:
            self._shown = None
            self.head.say(self._nothing_yet())
            self.pages.show_file(())
            self.views.setCurrentWidget(self.pages)
        elif made is None and self._shown is None:
            self.head.say(self._nothing_yet())
        elif made is not None and made is not self._shown and self.isVisible():
            self._shown = made
            paged = bool(made.sizes) or not made.data
            self.views.setCurrentWidget(self.pages if paged else self.text)
            for word in (self.fit, self.larger, self.smaller):
                word.setVisible(paged)
            self.head.say(self._told())
            if paged:
                self.pages.show_file(made.sizes)
                self._begin_whole()
            else:
                # A text is decoded no further than it is shown; a letter cut in two at the end is left out.
                shown = made.data[:MOST_LETTERS].decode("utf-8", errors="ignore")
                self.text.setPlainText(shown)

    def _begin_whole(self) -> None:
        """A drawing on one page is first seen whole, a report as wide as it can be read; what the user then chooses stays."""
        kind = self._handing.kind
        if kind != self._begun:
            self._begun = kind
            self.pages.set_zoom(self.pages.whole() if kind in DRAWINGS else SIZE_AT_FIT)

    def _nothing_yet(self) -> str:
        """Why there is nothing to see: a view without a word would seem to be the file."""
        handing = self._handing
        if not handing.valid:
            return self.tr("Nothing is shown: the drawing has faults.")
        return self.tr("It could not be made.") if handing.fault else self.tr("{name} is being made.").format(name=handing.file_name())

    def _told(self) -> str:
        handing, made = self._handing, self._handing.made
        name = handing.file_name()
        if made is None or not made.data:
            return ""
        if not made.sizes:
            more = self.tr(" Only its beginning is shown.") if len(made.data) > MOST_LETTERS else ""
            return self.tr("{name}, {size} kB.").format(name=name, size=_kilobytes(made.data)) + more
        pages = self.tr("1 page") if len(made.sizes) == 1 else self.tr("{number} pages").format(number=len(made.sizes))
        if handing.ending == ".html":
            pages = self.tr("shown as its {pages} of A4").format(pages=pages)
        return self.tr("{name}, {pages}, {size} kB.").format(name=name, pages=pages, size=_kilobytes(made.data))


def _kilobytes(data: bytes) -> int:
    return -(-len(data) // 1000)
