"""A ruler keeps the picture of its ticks and numbers; only the pointer's mark is drawn at each frame."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QImage, QRegion
from PySide6.QtWidgets import QWidget

from app.board.rulers import LEFT_WIDTH, TOP_HEIGHT, Ruler
from app.theme import DARK, LIGHT
from app.window import make_application

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


@pytest.fixture(params=["top", "left"])
def ruler(request, qtbot):
    make_application()
    home = QWidget()
    qtbot.addWidget(home)
    made = Ruler(request.param, LIGHT, home)
    made.home = home  # kept for as long as the ruler
    made.resize(*((400, TOP_HEIGHT) if request.param == "top" else (LEFT_WIDTH, 300)))
    made.set_scale(pixels=2.3, origin=57.0)
    return made


def shot(ruler, ratio=1.0):
    image = QImage(ruler.size() * ratio, QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(ratio)
    ruler.render(image, QPoint(0, 0))
    return image


CHANGES = {
    "pointer": lambda ruler: ruler.set_pointer(31.0),
    "scale": lambda ruler: ruler.set_scale(pixels=3.1, origin=57.0),
    "scrolled": lambda ruler: ruler.set_scale(pixels=2.3, origin=-12.0),
    "dark": lambda ruler: ruler.set_style(DARK),
    "resized": lambda ruler: ruler.resize(ruler.width() + 40, ruler.height() + 40),
}


@pytest.mark.parametrize("ratio", [1.0, 2.0])
@pytest.mark.parametrize("change", CHANGES)
def test_what_is_kept_of_a_ruler_is_dropped_when_it_changes(ruler, change, ratio):
    before = shot(ruler, ratio)
    CHANGES[change](ruler)
    after = shot(ruler, ratio)
    assert after != before
    ruler._kept = None
    assert shot(ruler, ratio) == after


def test_a_pointer_that_moves_has_nothing_but_its_mark_painted(ruler, monkeypatch):
    painted = []
    paint = Ruler._paint
    monkeypatch.setattr(Ruler, "_paint", lambda self, painter: (painted.append(self), paint(self, painter))[1])
    ruler.set_pointer(10.0)
    first = shot(ruler)
    ruler.set_pointer(20.0)
    second = shot(ruler)
    assert len(painted) == 1
    assert first != second
    ruler.set_pointer(10.0)
    assert shot(ruler) == first


@pytest.mark.parametrize("ratio", [1.0, 1.25, 1.5, 2.0])
def test_it_covers_all_that_it_lies_on(ruler, ratio):
    """Qt paints nothing below it, so that a pixel left out would show what was there before."""
    image = QImage(ruler.size() * ratio, QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(ratio)
    image.fill(QColor("magenta"))
    ruler.render(image, QPoint(0, 0), QRegion(), QWidget.RenderFlag.DrawChildren)
    seen = {image.pixel(x, y) for x in range(image.width()) for y in range(image.height())}
    assert QColor("magenta").rgb() not in seen
    assert ruler.testAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
