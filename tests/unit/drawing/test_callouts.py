"""Names in bodies and on leaders."""

import math

from core.drawing.callouts import callouts
from core.drawing.display_list import Fill, Stroke, Text
from core.drawing.slabs import section_slabs
from core.model.project import Body, Section
from core.model.shapes import Box, Disc, Frame

UNIT = 0.25


def named(*bodies, keep_off=()):
    return callouts(section_slabs(Section(name="s", bodies=bodies)), {}, unit=UNIT, keep_off=keep_off)


def body(name, shape, *, fixed=False, low=0):
    return Body(name=name, fixed=fixed, depth=(low, low + 1), shapes=(shape,))


def texts(items):
    return {item.words: item for item in items if isinstance(item, Text)}


def test_a_name_that_fits_stands_in_its_body_without_a_leader():
    items = named(body("plate", Box(centre=(5, 5), size=(40, 30))))
    assert math.dist(texts(items)["plate"].at, (5, 5)) < 6
    assert not [item for item in items if isinstance(item, Stroke)]


def test_a_name_on_hatched_material_has_the_hatch_cleared_under_it():
    items = named(body("plate", Box(centre=(5, 5), size=(40, 30)), fixed=True))
    assert isinstance(items[0], Fill)
    assert items[0].paint == "board"
    assert isinstance(items[1], Text)


def test_a_name_without_room_stands_beside_its_body_on_a_leader_from_inside_it():
    items = named(body("post", Disc(centre=(5, 5), radius=1)))
    away = math.dist(texts(items)["post"].at, (5, 5))
    assert 1 < away < 20
    (leader,) = [item for item in items if isinstance(item, Stroke)]
    assert math.dist(leader.path[0].edges[0].start, (5, 5)) < 0.3


def test_names_of_neighbours_keep_apart():
    bodies = [body(f"post {number}", Disc(centre=(3.0 * number, 0), radius=1)) for number in range(6)]
    places = [text.at for text in texts(named(*bodies)).values()]
    assert len(places) == 6
    high = 12 * UNIT
    wide = 0.55 * 12 * 6 * UNIT
    for number, (x, y) in enumerate(places):
        assert all(abs(x - u) >= wide or abs(y - v) >= high for u, v in places[:number])


def test_a_name_keeps_off_symbols():
    plate = body("plate", Box(centre=(0, 0), size=(30, 8)))
    free, kept = texts(named(plate))["plate"].at, texts(named(plate, keep_off=[((0, 0), 3.0)]))["plate"].at
    assert math.dist(free, (0, 0)) < 6
    assert math.dist(kept, (0, 0)) > 3.0


def test_a_body_wholly_underneath_another_is_not_named():
    items = named(body("below", Disc(centre=(0, 0), radius=3)), body("above", Box(centre=(0, 0), size=(40, 30)), low=2))
    assert set(texts(items)) == {"above"}


def test_a_frame_is_named_on_a_leader_from_its_wall():
    items = named(body("housing", Frame(centre=(0, 0), size=(60, 40), wall=2), fixed=True))
    (leader,) = [item for item in items if isinstance(item, Stroke)]
    x, y = leader.path[0].edges[0].start
    assert 30 <= max(abs(x), 1.5 * abs(y)) <= 33


def test_nothing_to_name_gives_nothing():
    assert named() == ()
