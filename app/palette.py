"""Which theme the system asks for, whether it asks for little motion, and a style as Qt's palette."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication, QStyle

from app.theme import STYLES, Style

_DARK_BELOW = 128
"""Lightness of a window, 0 to 255, below which the system is taken for dark."""


def system_style(palette: QPalette) -> Style:
    """The style for the system's colour scheme; `palette` is the system's own, for those that name none or the wrong one."""
    dark = QGuiApplication.styleHints().colorScheme() == Qt.ColorScheme.Dark
    dark = dark or palette.color(QPalette.ColorRole.Window).lightness() < _DARK_BELOW
    return STYLES["dark" if dark else "light"]


def system_keeps_motion_down() -> bool:
    """Whether the desktop asks for no animation."""
    style = QApplication.style()
    return style is not None and style.styleHint(QStyle.StyleHint.SH_Widget_Animation_Duration) == 0


def palette_of(style: Style) -> QPalette:
    """Qt's palette in the colours of a style, for what Qt draws itself: fields, menus, dialogs, tips."""
    role = QPalette.ColorRole
    colours = {
        role.Window: style.panel,
        role.WindowText: style.ink,
        role.Base: style.field,
        role.AlternateBase: style.panel,
        role.Text: style.ink,
        role.PlaceholderText: style.quiet_text,
        role.Button: style.panel,
        role.ButtonText: style.ink,
        role.BrightText: style.breach_text,
        role.Highlight: style.focus,
        role.HighlightedText: style.board,
        role.Accent: style.focus,
        role.Link: style.proved_text,
        role.LinkVisited: style.proved_text,
        role.ToolTipBase: style.field,
        role.ToolTipText: style.ink,
        role.Light: style.board,
        role.Midlight: style.grid,
        role.Mid: style.rule,
        role.Dark: style.rule,
        role.Shadow: style.ink,
    }
    palette = QPalette()
    for one, colour in colours.items():
        palette.setColor(one, QColor(colour))
    for one in (role.WindowText, role.Text, role.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, one, QColor(style.quiet_text))
    return palette
