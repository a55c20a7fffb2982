"""The font that ships with the program: it loads, its figures are of one width, and its licence lies beside it."""

from pathlib import Path

import pytest
from PySide6.QtGui import QFontInfo, QFontMetricsF, QRawFont

from app import theme


@pytest.fixture
def families(request):
    request.getfixturevalue("qapp")
    return theme.load_fonts()


@pytest.mark.parametrize("weight", [theme.REGULAR, theme.MEDIUM, theme.SEMIBOLD])
def test_figures_are_of_one_width(families, weight):
    assert theme.FAMILY in families
    face = theme.font(theme.DATA, weight=weight)
    assert QFontInfo(face).family().startswith(theme.FAMILY)
    metrics = QFontMetricsF(face)
    assert len({metrics.horizontalAdvance(digit * 10) for digit in "0123456789"}) == 1


@pytest.mark.usefixtures("families")
def test_signs_of_the_trade_are_in_the_font():
    raw = QRawFont.fromFont(theme.font())
    assert [sign for sign in "°−–±×½·…≥≤²µØ" if not raw.supportsCharacter(ord(sign))] == []


def test_licence_lies_beside_the_font():
    fonts = Path(theme.__file__).parent / "fonts"
    assert "SIL OPEN FONT LICENSE Version 1.1" in (fonts / "OFL.txt").read_text(encoding="utf-8")
    assert len(list(fonts.glob("*.ttf"))) == 3
