"""Names that would lie over a line stand off it, led to their bodies by a leader line."""

import math

import pytest
import shapely

from app.board.led_names import LONGER, RINGS, SHORT, led_names
from app.board.name_rooms import NameRooms
from app.board.names import NamePlace, Wanted, name_box
from core.drawing.path import Pose
from core.drawing.slabs import section_slabs
from core.model.project import Body, Section
from core.model.shapes import Bar, Bore, Box, Disc

FREE, ALL = (lambda _: False), (lambda _: True)
WIDE = (-1e4, -1e4, 1e4, 1e4)


def body(name, *shapes, depth=(0.0, 1.0), fixed=False):
    return Body(name=name, depth=depth, shapes=shapes, fixed=fixed)


def among(*bodies, ends=None, symbols=()):
    rooms = NameRooms()
    rooms._symbols = list(symbols)
    return rooms.among(section_slabs(Section(name="Plan", bodies=bodies)), {}, pixels=1.0, ends=ends)


def led(places, around, *, covers=FREE, taken=(), window=WIDE):
    wanted = [want for want, _ in places]
    there = {want.body: NamePlace(want.body, at, inside=True) for want, at in places}
    found = {
        one.body: one
        for one in led_names(wanted, there, pixels=1.0, window=window, covers=covers, taken=taken, around=around)
        if one is not None
    }
    return [found.get(want.body) for want in wanted]


RIB = body("rib", Disc(centre=(0.0, 0.0), radius=6.0))
WORD = Wanted("rib", ((0.0, 0.0), 6.0), (-6.0, -6.0, 6.0, 6.0), width=24.0, height=9.0)


def apart(one, other):
    return shapely.box(*one).distance(shapely.box(*other))


def test_a_name_over_the_outline_of_its_own_body_is_led_from_the_nearest_free_place():
    (place,) = led([(WORD, (0.0, 0.0))], among(RIB))
    start, spot = place.lead
    assert math.dist(start, spot) == pytest.approx(RINGS[0])
    assert math.dist(spot, (0.0, 0.0)) < 1.5
    box = name_box(place.at, WORD, 1.0)
    assert shapely.box(*box).distance(shapely.Point(0.0, 0.0)) > 6.0
    # The leader begins beside its words, not in them.
    assert 0.0 < shapely.box(*box).distance(shapely.Point(start)) <= 4.0


def test_a_name_that_lies_over_no_line_stays():
    assert led([(WORD, (0.0, 30.0))], among(RIB)) == [None]


def test_a_name_of_which_nothing_is_placed_is_not_led():
    assert set(led_names([WORD], {}, pixels=1.0, window=WIDE, covers=FREE, taken=(), around=among(RIB))) == {None}


def test_where_nothing_is_free_a_name_stays():
    assert led([(WORD, (0.0, 0.0))], among(RIB), covers=ALL) == [None]


def test_a_name_on_a_large_body_behind_its_own_is_led_to_a_place_on_that():
    plate = body("plate", Box(centre=(0.0, 0.0), size=(600.0, 600.0)), depth=(-2.0, -1.0), fixed=True)
    (place,) = led([(WORD, (0.0, 0.0))], among(plate, RIB), covers=ALL)
    assert place.lead is not None


def test_it_keeps_off_words_symbols_and_outlines_at_the_ends_of_travel():
    taken, symbol = (-60.0, 14.0, 60.0, 40.0), (20.0, -12.0, 60.0, 12.0)
    arm = body("arm", Bar(start=(0.0, 200.0), end=(90.0, 200.0), radius=4.0))
    around = among(RIB, arm, ends={"arm": (Pose(0.0, -110.0, -200.0),)}, symbols=(symbol,))
    (place,) = led([(WORD, (0.0, 0.0))], around, taken=(taken,))
    box = name_box(place.at, WORD, 1.0)
    assert apart(box, taken) > 0.0
    assert apart(box, symbol) > 0.0
    assert not around.interrupts(box)
    assert not around.runs_through(*place.lead, taken)


def test_a_leader_goes_round_another_body_where_that_is_not_far():
    wall = body("wall", Bar(start=(12.0, -300.0), end=(12.0, 300.0), radius=1.0))
    (place,) = led([(WORD, (0.0, 0.0))], among(RIB, wall))
    assert place.at[0] < 6.0
    hedge = [body(f"wall {n}", Bar(start=(x, -300.0), end=(x, 300.0), radius=1.0)) for n, x in enumerate((-12.0, 12.0))]
    level = led([(WORD, (0.0, 0.0))], among(RIB, *hedge), covers=lambda box: box[0] < 60.0)[0]
    assert among(RIB, *hedge).run_over("rib", *level.lead) == (1, 0)


@pytest.mark.parametrize(("up", "longest"), [(0.0, LONGER), (-10.5, SHORT)], ids=["over it", "touching it"])
def test_a_line_that_is_hidden_moves_a_name_less_far_and_one_only_touched_less_still(up, longest):
    sheet = body("sheet", Box(centre=(0.0, 0.0), size=(60.0, 60.0)), depth=(4.0, 5.0))
    under = body("under", Bar(start=(-100.0, up), end=(0.0, up), radius=3.0))
    word = Wanted("sheet", ((0.0, 0.0), 30.0), (-30.0, -30.0, 30.0, 30.0), width=30.0, height=9.0)
    around = among(under, sheet)
    box = name_box((0.0, 0.0), word, 1.0)
    assert around.crosses(box) == (up == 0.0)
    assert not around.shows_line(box)
    for least, found in ((0.0, True), (longest - 12.0, True), (longest + 4.0, False)):
        (place,) = led([(word, (0.0, 0.0))], around, covers=lambda box, least=least: box[1] < least)
        assert (place is not None) == found
        assert place is None or math.dist(*place.lead) <= longest


def test_names_that_are_led_keep_off_each_other_and_off_each_others_leaders():
    peg = body("peg", Disc(centre=(22.0, 0.0), radius=6.0))
    other = Wanted("peg", ((22.0, 0.0), 6.0), (16.0, -6.0, 28.0, 6.0), width=24.0, height=9.0)
    around = among(RIB, peg)
    first, second = led([(WORD, (0.0, 0.0)), (other, (22.0, 0.0))], around)
    boxes = name_box(first.at, WORD, 1.0), name_box(second.at, other, 1.0)
    assert apart(*boxes) > 0.0
    assert boxes[0][2] + 8.0 <= boxes[1][0] or boxes[0][3] + 2.0 <= boxes[1][1] or boxes[1][3] + 2.0 <= boxes[0][1]
    assert not around.runs_through(*first.lead, boxes[1])
    assert not around.runs_through(*second.lead, boxes[0])


def test_letters_that_reach_below_the_line_count():
    floor = body("floor", Box(centre=(0.0, -31.0), size=(200.0, 40.0)))
    # The floor's edge is at -11; a box 13 high about -1 ends at -7.5.
    level = Wanted("rib", ((0.0, 40.0), 6.0), (-6.0, 34.0, 6.0, 46.0), width=24.0, height=9.0)
    deep = Wanted("peg", ((0.0, 40.0), 6.0), (-6.0, 34.0, 6.0, 46.0), width=24.0, height=9.0)
    raised = [body(name, Disc(centre=(0.0, 40.0), radius=6.0)) for name in ("rib", "peg")]
    around = among(floor, *raised)
    assert led([(level, (0.0, -2.0))], around) == [None]
    assert led([(deep, (0.0, -2.0))], around) != [None]


def test_a_name_that_finds_no_place_takes_a_step_for_each_ring():
    there = {"rib": NamePlace("rib", (0.0, 0.0), inside=True)}
    steps = list(led_names([WORD], there, pixels=1.0, window=WIDE, covers=ALL, taken=(), around=among(RIB)))
    assert steps == [None] * (1 + len(RINGS))


def test_a_name_that_is_led_stands_apart_from_words_beside_it():
    beside = (30.0, -6.0, 90.0, 6.0)
    (place,) = led([(WORD, (0.0, 0.0))], among(RIB), taken=(beside,), covers=lambda box: box[0] < 0.0)
    box = name_box(place.at, WORD, 1.0)
    assert box[2] + 8.0 <= beside[0] or box[1] >= beside[3] + 2.0 or box[3] <= beside[1] - 2.0


def test_a_name_on_a_large_body_is_not_led_out_of_sight():
    plate = body("plate", Box(centre=(0.0, 0.0), size=(600.0, 600.0)), depth=(-2.0, -1.0), fixed=True)
    seen = (-10.0, -200.0, 200.0, 200.0)
    (place,) = led([(WORD, (0.0, 0.0))], among(plate, RIB), covers=ALL, window=seen)
    assert name_box(place.at, WORD, 1.0)[0] >= -10.0
    assert led([(WORD, (0.0, 0.0))], among(plate, RIB), covers=ALL, window=(-10.0, -10.0, 10.0, 10.0)) == [None]


@pytest.mark.parametrize(("walls", "is_led"), [(3, True), (7, False)])
def test_a_leader_over_too_many_outlines_is_not_drawn(walls, is_led):
    rings = [body(f"ring {n}", Bore(centre=(0.0, 0.0), radius=10.0 + 9.0 * n, wall=2.0)) for n in range(walls)]
    (place,) = led([(WORD, (0.0, 0.0))], among(RIB, *rings), covers=lambda box: math.hypot(box[0], box[1]) < 90.0)
    assert (place is not None) == is_led
