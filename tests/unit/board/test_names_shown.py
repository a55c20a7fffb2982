"""The names on the board, once it has come to rest."""

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPointF, QRectF

from app.board import name_items
from app.board.board import Board
from app.board.items import NameItem
from app.board.names import NamePlace
from app.board.overlay import NAME_AIR, Overlay, detail_radius
from app.theme import DARK, LIGHT
from app.window import make_application
from core.drawing.detail import CORNERS, Spot, magnification
from core.drawing.dimension import LETTER_WIDTH
from core.drawing.extent import extent_within
from core.drawing.gap_mark import GapMark
from core.drawing.path import polyline
from core.model.edit_bodies import add_body
from core.model.edit_project import new_project
from core.model.project import Body
from core.model.shapes import Box
from tests.unit.board.lamp import lamp

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


@pytest.fixture
def board(qtbot):
    make_application()
    made = Board(LIGHT)
    qtbot.addWidget(made)
    made.resize(900, 700)
    made.show()
    project = lamp()
    made.show_section(project, project.sections[0].name)
    return made


def test_names_that_have_room_are_shown(board, qtbot):
    wanted = {f"petal {number}" for number in range(1, 6)} | {"mast", "lead clip"}
    qtbot.waitUntil(lambda: wanted <= board._items.names.shown().keys(), timeout=20_000)


def test_names_keep_off_all_that_is_told_below_detail_a_though_it_runs_beyond_the_circle(board):
    items, overlay = board._items, Overlay()
    overlay.mark, overlay.detail = GapMark(((-30.0, 40.0), (-20.0, 40.0)), 10.0, 1.2, ("petal 2", "petal 1"), None, 0.2), True
    window = QRectF(board.viewport().rect())
    scale, radius = board.pixels_a_mm, detail_radius(window)
    (circle,) = overlay.taken(items, board.viewportTransform(), window)
    widest = max(box[2] - box[0] for box in overlay.names_keep_off(items, board.viewportTransform(), window))
    assert (circle[2] - circle[0]) * scale == pytest.approx(2.0 * radius)
    letters = len("required gap 1.00 mm and 0.20 mm for tolerances")
    assert widest * scale > max(2.0 * radius, 12.0 * LETTER_WIDTH * letters)


def test_names_keep_off_the_gaps_words_and_lines_where_detail_a_has_no_room(board):
    overlay, to_pixels = Overlay(), board.viewportTransform()
    overlay.mark, overlay.detail = GapMark(((-30.0, 40.0), (-20.0, 40.0)), 10.0, 1.2, ("petal 2", "petal 1")), True
    low = QRectF(0.0, 0.0, 300.0, 200.0)
    assert detail_radius(low) is None
    (words,) = overlay.taken(board._items, to_pixels, low)
    kept_off, *lines = overlay.names_keep_off(board._items, to_pixels, low)
    air = NAME_AIR / board.pixels_a_mm
    assert kept_off == pytest.approx((words[0], words[1] - air, words[2], words[3] + air))
    along = [(-30.0 + share / 10.0, 40.0) for share in range(101)]
    assert all(any(box[0] <= x <= box[2] and box[1] <= y <= box[3] for box in lines) for x, y in along)
    seen = to_pixels.inverted()[0].mapRect(low)
    assert extent_within(words, (seen.left(), seen.top(), seen.right(), seen.bottom()))


def test_the_places_of_symbols_are_where_they_are_drawn_bolts_included(board):
    items = board._items
    before = items.symbol_places()
    items.place_bolts()
    told = items.symbol_places()
    drawn = [(symbol.pos().x(), symbol.pos().y()) for _, symbols in items._symbols for symbol in symbols]
    assert told == [pytest.approx(place) for place in drawn]
    bolted = sum(place is not None for place in items._bolts.values())
    assert bolted == 5
    assert len(before) == len(told) > bolted


def test_words_of_a_gap_keep_off_outlines_once_the_board_is_at_rest(board):
    overlay, to_pixels = Overlay(), board.viewportTransform()
    window = QRectF(board.viewport().rect())
    # The likeliest place of these words lies over the edge of petal 1.
    overlay.mark = GapMark(((40.0, 75.0), (26.0, 75.0)), 14.0, 1.2, ("mast", "petal 1"))
    overlay.moving = True
    (likeliest,) = overlay.taken(board._items, to_pixels, window)
    overlay.moving = False
    (words,) = overlay.taken(board._items, to_pixels, window)
    assert board._items.crosses_outline(likeliest)
    assert not board._items.crosses_outline(words)


def test_the_letter_of_detail_a_is_looked_for_anew_once_the_board_is_at_rest(board):
    overlay, items, unit = Overlay(), board._items, 1.0 / board.pixels_a_mm

    def corner(at, *, moving=False):
        overlay.moving = moving
        return overlay._corner_of(Spot(at, 14.0 * unit, None, None), items, unit)

    free = corner((-90.0, 0.0))
    away = 0.77 * 23.0 * unit
    # There the first corner lies over the edge of petal 1.
    at = (30.0 + away, 75.0 + away)
    assert corner(at, moving=True) == free == CORNERS[0]
    assert corner(at) != CORNERS[0]


def test_detail_a_comes_closer_to_what_is_small_once_the_board_is_at_rest(board):
    items, overlay = board._items, Overlay()
    unit, radius = 1.0 / board.pixels_a_mm, 108.0

    def shown(gap, *, moving=False):
        overlay.moving = moving
        mark = GapMark(((-30.0, 40.0), (-30.0 + gap, 40.0)), gap, 1.2, ("petal 2", "petal 1"))
        return gap * magnification(overlay._spot_of(mark, items, unit, radius), unit=unit, radius=radius) * board.pixels_a_mm

    small = 0.3 / board.pixels_a_mm
    assert shown(small) > 15.0
    assert shown(small, moving=True) < 3.0
    # Two that touch are seen as ever.
    assert shown(0.01 / board.pixels_a_mm) < 0.1


def test_a_name_is_as_tall_as_its_letters_wherever_it_stands_in_the_stack():
    make_application()
    item = NameItem("petal 2", LIGHT)
    before = item.boundingRect()
    item.set_height(30_000.0)
    assert item.boundingRect() == before
    assert before.height() < QRectF(before).width()
    assert 5 < item.tall < 20


def test_a_name_does_not_stand_over_a_level_wall_that_is_wide_enough_to_be_seen(board):
    project = add_body(
        new_project("Hall"), "Side", Body(name="floor", fixed=True, depth=(0, 5), shapes=(Box(centre=(0, 0), size=(600, 6)),))
    )
    board.show_section(project, "Side")
    items, pixel = board._items, 1.0 / board.pixels_a_mm
    wall, tall = 6.0 / pixel, 24.0
    assert wall >= 5.0
    for under in range(int(tall - wall)):
        low = -3.0 - under * pixel
        assert items.names._covers((-1e3, -1e3, 1e3, 1e3), pixel, (-20.0, low, 20.0, low + tall * pixel))
    assert not items.names._covers((-1e3, -1e3, 1e3, 1e3), pixel, (-20.0, 4.0, 20.0, 4.0 + tall * pixel))


def test_names_keep_off_the_outlines_at_the_ends_of_travel_where_they_can(board, qtbot):
    items = board._items
    mast = items.names._labels["mast"][0]
    qtbot.waitUntil(lambda: mast.shown and not board._naming.busy, timeout=20_000)
    before = mast.pos()
    x, y = next(slab for slab in items.slabs if slab.body == "petal 3").lines[0].edges[0].start
    # A point of the petal's outline comes to lie in the middle of the name.
    board.set_travel_ends({"petal 3": [(0.0, before.x() - x, before.y() - y)]})
    qtbot.waitUntil(lambda: mast.shown and not board._naming.busy and mast.pos() != before, timeout=20_000)
    board.set_travel_ends(None)
    qtbot.waitUntil(lambda: mast.shown and not board._naming.busy and mast.pos() == before, timeout=20_000)


def test_a_leader_goes_with_its_body_and_goes_once_the_name_has_room(board, qtbot, monkeypatch):
    names, lead = board._items.names, ((40.0, 70.0), (35.5, 56.0))

    def led(wanted, _places, **_):
        return (NamePlace("mast", (47.0, 72.0), inside=False, lead=lead) if want.body == "mast" else None for want in wanted)

    monkeypatch.setattr(name_items, "led_names", led)
    board.name_anew()
    qtbot.waitUntil(lambda: not board._naming.busy and "mast" in names._leaders, timeout=20_000)
    leader, label = names._leaders["mast"], names.shown()["mast"]
    assert label.pos() == QPointF(47.0, 72.0)
    assert leader.boundingRect().adjusted(1.9, 1.9, -1.9, -1.9).contains(QPointF(*lead[0]))
    board.set_poses({"mast": (90.0, 5.0, 3.0)})
    assert (leader.pos(), leader.rotation()) == (QPointF(5.0, 3.0), 90.0)
    assert label.pos() == QPointF(5.0 - 72.0, 3.0 + 47.0)
    board.set_poses({"mast": (0.0, 0.0, 0.0)})
    monkeypatch.setattr(name_items, "led_names", lambda wanted, _places, **_: (None for _ in wanted))
    board.name_anew()
    qtbot.waitUntil(lambda: not board._naming.busy and names._leaders == {}, timeout=20_000)
    assert leader not in board._items.stack.ordered()


def test_a_leader_has_the_colour_of_the_theme(board):
    names = board._items.names
    names._lead("mast", (polyline((0.0, 0.0), (10.0, 10.0)),))
    assert names._leaders["mast"]._pen.color().name() == LIGHT.ink
    board.set_style(DARK)
    assert names._leaders["mast"]._pen.color().name() == DARK.ink


def test_a_body_that_goes_takes_its_leader_along(board, qtbot):
    names = board._items.names
    qtbot.waitUntil(lambda: not board._naming.busy and "mast" in names.shown(), timeout=20_000)
    names._lead("mast", (polyline((0.0, 0.0), (10.0, 10.0)),))
    leader = names._leaders["mast"]
    project = lamp()
    section = project.sections[0]
    rest = tuple(one for one in section.bodies if one.name != "mast")
    board.refresh_section(replace(project, sections=(replace(section, bodies=rest),)), section.name)
    assert "mast" not in [*names]
    assert leader not in board._items.stack.ordered()


def test_the_end_of_travel_at_which_a_body_stands_shows_once_it_has_left_it(board):
    items = board._items
    here, there = (0.0, 0.0, 0.0), (0.0, 30.0, 0.0)
    board.set_travel_ends({"mast": [here, there]})

    def seen():
        return [(pose.x, line.shown) for name, pose, line in items._ends if name == "mast"]

    assert seen() == [(0.0, False), (30.0, True)]
    assert items.ends_seen() == {"mast": (there,)}
    board.set_poses({"mast": (0.0, 12.0, 0.0)})
    assert seen() == [(0.0, True), (30.0, True)]
    board.set_poses({"mast": there})
    assert seen() == [(0.0, True), (30.0, False)]
    assert items.ends_seen() == {"mast": (here,)}


def test_words_do_not_keep_off_the_end_of_travel_at_which_a_body_stands(board):
    items = board._items
    beside = (36.0, 52.0, 45.0, 54.0)  # over the mast's edge, which is at 38.7 there
    inside = (35.0, 55.0, 36.0, 57.0)
    assert items.crosses_outline(beside)
    assert not items.crosses_outline(inside)
    board.set_travel_ends({"mast": [(0.0, 0.0, 0.0), (0.0, 3.2, 0.0)]})
    assert items.crosses_outline(inside)  # over the edge of the other end
    board.set_travel_ends({"mast": [(0.0, 0.0, 0.0)]})
    assert not items.crosses_outline(inside)
