"""Words on the sheet: lines of text, and words that can be pressed. All take their looks from the style."""

import re
from html import escape, unescape
from typing import Literal, Protocol, runtime_checkable

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QKeySequence, QPainter, QPaintEvent, QPalette, QPen, QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QLabel, QSizePolicy, QWidget

from app import theme
from app.theme import Style

_TAG = re.compile(r"<[^>]*>")

STRONG = '<span style="font-weight:600">'
"""What stands for bold: the strongest weight that is shipped. A bolder one would be smeared by Qt."""

Tone = Literal["ink", "quiet", "breach", "proved"]


@runtime_checkable
class Styled(Protocol):
    """What can take another style while the program runs."""

    def set_style(self, style: Style) -> None: ...


def restyle(root: QWidget, style: Style) -> None:
    """Give `style` to every styled widget inside `root`."""
    for child in root.findChildren(QWidget):
        if isinstance(child, Styled):
            child.set_style(style)


def as_tip(text: str) -> str:
    """Plain text as a tool tip, which Qt would otherwise take for mark-up where it looks like some."""
    return f"<span>{escape(text)}</span>" if "<" in text or "&" in text else text


def as_entry(text: str) -> str:
    """Plain text as the entry of a menu, in which an ampersand alone would mark a key."""
    return text.replace("&", "&&")


def tone_colour(style: Style, tone: Tone) -> QColor:
    """The colour that a tone has in a style."""
    return QColor({"ink": style.ink, "quiet": style.quiet_text, "breach": style.breach_text, "proved": style.proved_text}[tone])


_LINE_HEIGHTS: dict[str, int] = {}


def line_height(font: QFont) -> int:
    """As words that wrap are set: not the font's own spacing, which is less by what is rounded."""
    key = font.key()
    if key not in _LINE_HEIGHTS:
        _LINE_HEIGHTS[key] = QFontMetrics(font).boundingRect(QRect(0, 0, 100, 100), Qt.TextFlag.TextWordWrap, "x").height()
    return _LINE_HEIGHTS[key]


class Line(QLabel):
    """Text in one tone. One line that is cut with an ellipsis where it does not fit, or, wrapped, as many as it takes."""

    def __init__(
        self,
        style: Style,
        text: str = "",
        *,
        size: int = theme.TEXT,
        weight: QFont.Weight = theme.REGULAR,
        tone: Tone = "ink",
        wrap: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._whole = ""
        self._tone: Tone = tone
        self._style = style
        self.setFont(theme.font(size, weight=weight))
        self.setWordWrap(wrap)
        self.setTextInteractionFlags(Qt.TextInteractionFlag.NoTextInteraction)
        self.setTextFormat(Qt.TextFormat.PlainText)  # names of a project are data, whatever they look like
        if wrap:
            policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.MinimumExpanding)
            policy.setHeightForWidth(True)
            self.setSizePolicy(policy)
        else:
            self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.set_style(style)
        self.say(text)

    def say(self, text: str, *, tone: Tone | None = None) -> None:
        """Show another text, and another tone where one is given."""
        if text == self._whole and tone in (None, self._tone):
            return
        self._whole = text
        if tone is not None and tone != self._tone:
            self._tone = tone
            self.set_style(self._style)
        self.setAccessibleName(unescape(_TAG.sub(" ", text)) if self.textFormat() == Qt.TextFormat.RichText else text)
        self._fit()

    def whole(self) -> str:
        """The text without any ellipsis."""
        return self._whole

    def set_style(self, style: Style) -> None:
        self._style = style
        palette = QPalette(self.palette())
        palette.setColor(QPalette.ColorRole.WindowText, tone_colour(style, self._tone))
        palette.setColor(QPalette.ColorRole.Link, QColor(style.proved_text))
        self.setPalette(palette)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        if self.textFormat() == Qt.TextFormat.RichText:
            shown = self._whole.replace("<b>", STRONG).replace("</b>", "</span>")
        elif self.wordWrap():
            shown = self._whole
        else:
            shown = QFontMetrics(self.font()).elidedText(self._whole, Qt.TextElideMode.ElideRight, max(self.width(), 1))
        if shown != self.text():
            self.setText(shown)
        cut = not self.wordWrap() and shown != self._whole
        self.setToolTip(as_tip(self._whole) if cut else "")

    def sizeHint(self) -> QSize:
        if self.wordWrap():
            return super().sizeHint()
        metrics = QFontMetrics(self.font())
        return QSize(metrics.horizontalAdvance(self._whole) + 2, metrics.height())


class Word(QAbstractButton):
    """A word to press, with its key in quiet figures behind it; underlined while it is on. Never an icon."""

    def __init__(
        self,
        style: Style,
        text: str,
        *,
        key: str = "",
        size: int = theme.TEXT,
        tone: Tone = "ink",
        weight: QFont.Weight = theme.REGULAR,
        checkable: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._key = self._own_key = key
        self._weight = weight
        self._tone: Tone = tone
        self._style = style
        self.setFont(theme.font(size))
        self.setCheckable(checkable)
        self.setText(text)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def setText(self, text: str) -> None:
        if text == self.text():
            return
        super().setText(text)
        if "&" in text:  # a letter of the name, not the mark of a key
            self.setShortcut(QKeySequence())
        self.setAccessibleName(text)
        self.updateGeometry()
        self.update()

    def set_tone(self, tone: Tone) -> None:
        """Write the word in another tone."""
        self._tone = tone
        self.update()

    def show_key(self, *, on: bool) -> None:
        """Tell the key behind the word, or leave it out where there is no room."""
        self._key = self._own_key if on else ""
        self.updateGeometry()
        self.update()

    def set_style(self, style: Style) -> None:
        self._style = style
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(self._text_width() + self._key_width() + 6, max(24, QFontMetrics(self.font()).height() + 6))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        area = self.text_area()
        quiet = QColor(self._style.quiet_text)
        ink = tone_colour(self._style, self._tone) if self.isEnabled() else quiet
        painter.setFont(self.shown_font())
        painter.setPen(ink)
        painter.drawText(area, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, self._shown_text(painter))
        if self._key:
            painter.setFont(theme.font(theme.RULER))
            painter.setPen(quiet)
            key_area = area.adjusted(self._text_width() + 6, 1, 0, 1)
            painter.drawText(key_area, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, self._key)
        if self.isChecked() or self.underMouse():
            painter.setPen(QPen(ink, theme.WIDE if self.isChecked() else theme.NARROW))
            foot = area.center().y() + QFontMetrics(self.font()).height() // 2 + 1
            painter.drawLine(area.left(), foot, min(area.left() + self._text_width(), area.right()), foot)
        paint_focus(painter, self, self._style)

    def text_area(self) -> QRect:
        """Where its text and key are written."""
        return self.rect().adjusted(3, 0, -3, 0)

    def shown_font(self) -> QFont:
        """The font that the word is written in; stronger while it is on."""
        return theme.font(self.font().pixelSize(), weight=theme.MEDIUM if self.isChecked() else self._weight)

    def _shown_text(self, painter: QPainter) -> str:
        return painter.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, self.text_area().width() - self._key_width() + 3)

    def _text_width(self) -> int:
        return QFontMetrics(theme.font(self.font().pixelSize(), weight=max(theme.MEDIUM, self._weight))).horizontalAdvance(self.text())

    def _key_width(self) -> int:
        return QFontMetrics(theme.font(theme.RULER)).horizontalAdvance(self._key) + 8 if self._key else 0


class Hairline(QWidget):
    """A thin rule across."""

    def __init__(self, style: Style, *, colour: Literal["rule", "ink"] = "rule", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self._colour = colour
        self.setFixedHeight(1)

    def set_style(self, style: Style) -> None:
        self._style = style
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        colour = self._style.rule if self._colour == "rule" else self._style.ink
        QPainter(self).fillRect(self.rect(), QColor(colour))


def paint_focus(painter: QPainter, widget: QWidget, style: Style, area: QRect | None = None) -> None:
    """A frame in the focus colour around what has the keyboard; nothing while it is elsewhere."""
    if not widget.hasFocus():
        return
    painter.setPen(QPen(QColor(style.focus), theme.WIDE))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect((area or widget.rect()).adjusted(1, 1, -2, -2))


def paint_panel(widget: QWidget, style: Style) -> None:
    """The ground of the side panel, with the rule at its left."""
    painter = QPainter(widget)
    painter.fillRect(widget.rect(), QColor(style.panel))
    painter.fillRect(0, 0, 1, widget.height(), QColor(style.rule))


def clear_layout(widget: QWidget) -> None:
    """Take everything out of the widget's layout and let it go."""
    layout = widget.layout()
    while layout is not None and layout.count():
        item = layout.takeAt(0)
        inner = item.widget() if item else None
        if inner is not None:
            inner.hide()
            inner.deleteLater()
