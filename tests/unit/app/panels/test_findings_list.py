"""The list of findings shows each from its first line on, and none by a sliver of its heat."""

import pytest

from app.panels.findings import Entry, FindingsList
from app.theme import LIGHT
from app.window import make_application

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


@pytest.mark.parametrize("seen", [1, 5, 12])
def test_no_sliver_of_the_next_finding_is_seen(qtbot, seen):
    make_application()
    found = FindingsList(LIGHT)
    qtbot.addWidget(found)
    found.show_entries([Entry(f"petal {one} meets petal {one + 1}", "", 7, visit=one) for one in range(8)], empty="")
    found.resize(280, 300)
    found.show()
    qtbot.waitExposed(found)
    qtbot.waitUntil(lambda: found.links()[1].y() > 0)
    next_one = found.links()[3].y()
    found.resize(280, next_one + seen)
    scroll = found._scroll
    ground = scroll.palette().window().color().name()

    def inked() -> bool:
        picture = found.grab().toImage()
        return {picture.pixelColor(x, next_one + y).name() for x in range(10) for y in range(seen)} != {ground}

    qtbot.waitUntil(lambda: scroll.viewport().height() == next_one + seen and not inked())
    picture = found.grab().toImage()
    assert picture.pixelColor(2, next_one - 10).name() != ground
