"""Where names stand."""

from dataclasses import replace

import pytest

from app.board.names import Wanted, name_places


def placed(*given, **options):
    return tuple(place for place in name_places(*given, **options) if place is not None)


BIG = Wanted("plate", ((0, 0), 20.0), (-20, -20, 20, 20), width=60, height=9)
SMALL = Wanted("post", ((50, 0), 3.0), (47, -3, 53, 3), width=40, height=9)


def test_a_name_that_fits_stands_in_the_widest_place():
    (place,) = placed([BIG], pixels=2)
    assert place.inside
    assert place.at == (0, 0)


def test_a_name_that_does_not_fit_stands_at_the_upper_right():
    (place,) = placed([SMALL], pixels=2)
    assert not place.inside
    assert place.at[0] - SMALL.width / 2 / 2 > 53
    assert place.at[1] > 3


@pytest.mark.parametrize("pixels", [0.5, 1, 2, 4, 9, 20])
def test_whether_it_fits_depends_on_the_scale(pixels):
    (place,) = placed([SMALL], pixels=pixels)
    assert place.inside == (3.0 * pixels * 1.15 >= (40**2 + 9**2) ** 0.5 / 2)


def test_a_name_as_wide_as_its_body_does_not_stand_over_both_its_edges():
    # Its corners lie within 1.15 of the radius, its ends beyond the body's sides.
    wide = Wanted("blue motor", ((0, 0), 20.0), (-20, -20, 20, 20), width=42, height=9)
    (place,) = placed([wide], pixels=1)
    assert not place.inside


def test_the_name_of_a_tall_body_stands_beside_its_middle():
    tall = Wanted("curtain", ((0, 0), 5.0), (-5, -100, 5, 100), width=60, height=9)
    (place,) = placed([tall], pixels=2)
    assert place.at[0] > 5
    assert place.at[1] == 0
    (higher,) = placed([tall], pixels=2, covers=lambda box: box[1] < 10)
    assert higher.at == (place.at[0], 25)
    (over,) = placed([tall], pixels=2, covers=lambda box: box[3] < 100)
    assert over.at[0] in {place.at[0], 0}


def test_a_name_beside_its_body_keeps_off_bodies():
    (place,) = placed([SMALL], pixels=2, covers=lambda box: box[2] > 53)
    assert place.at[0] < 47 + 3


def test_a_name_that_finds_no_place_is_left_out_unless_its_body_is_in_hand():
    assert placed([SMALL], pixels=2, covers=lambda _: True) == ()
    chosen = Wanted("post", SMALL.room, SMALL.extent, SMALL.width, SMALL.height, must=True)
    assert [place.body for place in placed([chosen], pixels=2, covers=lambda _: True)] == ["post"]


def test_two_names_never_stand_on_each_other():
    twin = Wanted("twin", BIG.room, BIG.extent, BIG.width, BIG.height)
    assert [place.body for place in placed([BIG, twin], pixels=2)] == ["plate"]


def test_the_body_in_hand_comes_first():
    chosen = Wanted("chosen", BIG.room, BIG.extent, BIG.width, BIG.height, must=True)
    places = placed([BIG, chosen], pixels=2)
    assert [(place.body, place.inside) for place in places] == [("chosen", True)]


def test_words_that_stand_already_are_kept_free():
    assert placed([BIG], pixels=2, taken=[(-5, -5, 5, 5)]) == ()


def test_a_half_hidden_body_is_not_named_from_beside():
    hidden = Wanted("post", None, SMALL.extent, SMALL.width, SMALL.height, beside=False)
    assert placed([hidden], pixels=2) == ()


def test_no_names_no_places():
    assert placed([], pixels=1) == ()


def test_the_name_of_a_slim_body_aslant_stands_near_it_and_not_at_the_corner_of_its_box():
    # A bar of radius 2 from (0, 0) to (60, 60); its widest place is taken in its middle.
    bar = Wanted("near gate", ((30, 30), 2.0), (-2, -2, 62, 62), width=50, height=12)

    def on_the_bar(box):
        xs = [box[0] + part * (box[2] - box[0]) / 20 for part in range(21)]
        return any(abs(x - y) / 2**0.5 < 2 for x in xs for y in (box[1], box[3]))

    (place,) = placed([bar], pixels=2, covers=on_the_bar)
    assert abs(place.at[0] - place.at[1]) / 2**0.5 < 2 + (50 / 2 + 6) / 2 + 4
    assert 10 < place.at[0] < 62


def test_a_slim_body_aslant_with_no_room_near_it_has_no_name_unless_it_is_in_hand():
    bar = Wanted("far rod", ((30, 30), 2.0), (-2, -2, 62, 62), width=50, height=12)

    def within_50_of_its_middle(box):
        return max(abs(box[0] - 30), abs(box[2] - 30)) < 50 and max(abs(box[1] - 30), abs(box[3] - 30)) < 50

    assert placed([bar], pixels=2, covers=within_50_of_its_middle) == ()
    chosen = Wanted("far rod", bar.room, bar.extent, bar.width, bar.height, must=True)
    assert [place.body for place in placed([chosen], pixels=2, covers=within_50_of_its_middle)] == ["far rod"]


def never(_):
    return False


class Around:
    """What the tests say stands about names."""

    def __init__(
        self,
        *,
        symbols=(),
        room=None,
        misleads=never,
        doubtful=never,
        parted=never,
        unsure=lambda _box, _named: False,
        backs=never,
        crosses=never,
        holds=lambda _box: True,
        interrupts=never,
    ):
        self.symbols = symbols
        self._room, self._misleads, self._doubtful, self._backs, self._unsure = room, misleads, doubtful, backs, unsure
        self._parted, self.crosses, self._holds, self.interrupts = parted, crosses, holds, interrupts

    def room(self, body, size, taken):  # noqa: ARG002 - as `Around` of the names
        return self._room

    def misleads(self, body, box):  # noqa: ARG002 - as `Around` of the names
        return self._misleads(box)

    def doubtful(self, body, box):  # noqa: ARG002 - as `Around` of the names
        return self._doubtful(box)

    def parted(self, body, box):  # noqa: ARG002 - as `Around` of the names
        return self._parted(box)

    def unsure(self, body, box, named):  # noqa: ARG002 - as `Around` of the names
        return self._unsure(box, named)

    def holds(self, body, box):  # noqa: ARG002 - as `Around` of the names
        return self._holds(box)

    def backs(self, body, box):  # noqa: ARG002 - as `Around` of the names
        return self._backs(box)


def test_a_name_hides_no_joint_symbol_but_stands_elsewhere_in_its_body_or_beside_it():
    pin = [(-2, -2, 2, 2)]
    (elsewhere,) = placed([BIG], pixels=2, around=Around(symbols=pin, room=(0, 12)))
    assert (elsewhere.at, elsewhere.inside) == ((0, 12), True)
    (beside,) = placed([BIG], pixels=2, around=Around(symbols=pin))
    assert not beside.inside
    assert beside.at[0] > 20


def test_a_name_too_wide_for_the_widest_place_stands_where_the_body_is_long():
    (place,) = placed([SMALL], pixels=2, around=Around(room=(50, 1)))
    assert (place.at, place.inside) == ((50, 1), True)


def test_a_name_is_not_put_where_it_would_be_taken_for_anothers():
    (place,) = placed([SMALL], pixels=2, around=Around(misleads=lambda box: box[0] > 53))
    assert place.at[0] < 53
    assert placed([SMALL], pixels=2, around=Around(misleads=lambda _: True)) == ()


def test_a_place_without_doubt_comes_first_and_one_with_doubt_is_better_than_none():
    (sure,) = placed([SMALL], pixels=2, around=Around(doubtful=lambda box: box[0] > 53))
    assert sure.at[0] < 53
    (doubtful,) = placed([SMALL], pixels=2, around=Around(doubtful=lambda _: True))
    assert doubtful.at[0] > 53


def last_told(*given, **options):
    """The places that hold: a body may be told again."""
    return {place.body: place for place in placed(*given, **options)}


def wide(box):
    return box[2] - box[0] > 100


CRANK = Wanted("crank", None, (60.0, -3.0, 66.0, 3.0), width=10_000, height=9)


def test_a_name_that_an_unnamed_body_seems_to_have_moves_where_it_can():
    beside_the_crank = {"unsure": lambda box, named: "crank" not in named and box[0] > 53}
    sure = last_told([SMALL, CRANK], pixels=2, covers=wide, around=Around(**beside_the_crank))
    assert sure["post"].at[0] < 53
    stays = last_told([SMALL, CRANK], pixels=2, covers=lambda box: wide(box) or box[0] < 53, around=Around(**beside_the_crank))
    assert stays["post"].at[0] > 53
    named = last_told([SMALL], pixels=2, around=Around(unsure=lambda box, named: not named and box[0] > 53))
    assert named["post"].at[0] > 53


def test_where_a_name_has_moved_away_another_may_find_a_place():
    small = Wanted("crank", None, (60.0, -3.0, 66.0, 3.0), width=40, height=9)
    one_place = {"covers": lambda box: not (box[2] < 47 or (box[0] > 53 and box[2] < 90 and box[1] > 0))}
    around = Around(unsure=lambda box, named: "crank" not in named and box[0] > 53)
    found = last_told([SMALL, small], pixels=2, around=around, **one_place)
    assert found["post"].at[0] < 47
    assert found["crank"].at[0] > 53
    assert set(last_told([SMALL, small], pixels=2, around=Around(), **one_place)) == {"post"}


def test_the_name_of_a_wide_body_also_stands_in_line_with_its_ends():
    motor = Wanted("motor", None, (0.0, 0.0, 100.0, 50.0), width=60, height=9)
    (place,) = placed([motor], pixels=1, covers=lambda box: box[0] < 35 or box[2] > 102)
    assert place.at[0] + 30 == pytest.approx(100.0)
    assert place.at[1] - 9 / 2 - 6 == pytest.approx(50.0)


def test_a_name_in_hand_that_must_lie_over_bodies_lies_over_no_outline_or_stands_a_little_off():
    post = Wanted("post", SMALL.room, SMALL.extent, SMALL.width, SMALL.height, must=True)

    def near(box):
        return box[0] < 58 and box[2] > 42 and box[1] < 8 and box[3] > -8

    (left,) = placed([post], pixels=2, covers=near, around=Around(crosses=lambda box: box[2] > 50))
    assert left.at[0] < 47 - 20 / 2
    (off,) = placed([post], pixels=2, covers=near, around=Around(crosses=lambda _: True))
    assert not near((off.at[0] - 10, off.at[1] - 4.25, off.at[0] + 10, off.at[1] + 4.25))
    assert max(abs(off.at[0] - 50) - 10 - 3, abs(off.at[1]) - 2.25 - 3) <= (6 + 16) / 2
    (over,) = placed([post], pixels=2, covers=lambda _: True, around=Around(crosses=lambda _: True))
    assert over.at == pytest.approx((50 + 3 + (6 + 20) / 2, 3 + 9 / 4))


def test_a_name_has_no_place_where_another_body_stands_between_it_and_its_own():
    doubtful = Around(doubtful=lambda _: True, parted=lambda box: box[0] > 53)
    (place,) = placed([SMALL], pixels=2, around=doubtful)
    assert place.at[0] < 47
    between = {"doubtful": lambda _: True, "parted": lambda _: True}
    assert placed([SMALL], pixels=2, around=Around(**between)) == ()
    chosen = Wanted("post", SMALL.room, SMALL.extent, SMALL.width, SMALL.height, must=True)
    assert [place.body for place in placed([chosen], pixels=2, around=Around(**between))] == ["post"]
    (backed,) = placed([SMALL], pixels=2, around=Around(**between, backs=lambda box: box[3] < 0))
    assert backed.at[1] < 0


def test_a_name_in_hand_stands_on_what_its_body_lies_before_only_where_it_is_seen():
    hand, around = replace(SMALL, must=True), Around(misleads=lambda _: False, backs=lambda box: box[0] > 50 or box[3] < 0)
    full = {"covers": lambda _: True, "around": around}
    (free,) = placed([hand], pixels=2, **full)
    assert free.at[0] - hand.width / 4 > 50
    (place,) = placed([hand], pixels=2, window=(0.0, -60.0, 55.0, 60.0), **full)
    assert place.at[0] + hand.width / 4 <= 55
    assert place.at[1] + hand.height / 4 < 0


def test_a_name_may_stand_on_the_large_body_that_its_own_lies_before():
    assert placed([SMALL], pixels=2, covers=lambda _: True, around=Around()) == ()
    (place,) = placed([SMALL], pixels=2, covers=lambda _: True, around=Around(backs=lambda box: box[2] < 50))
    assert place.at[0] < 47


def test_a_tiny_body_in_hand_among_words_has_its_name_a_little_farther_off_and_over_none():
    tiny = Wanted("wire", None, (0.0, 0.0, 0.02, 0.02), width=46, height=9, must=True)
    words = [(-60.0, -18.0, 60.0, 9.0)]
    (found,) = placed([tiny], pixels=1, taken=words)
    box = (found.at[0] - 23.0, found.at[1] - 6.5, found.at[0] + 23.0, found.at[1] + 6.5)
    assert not any(box[0] < b[2] and b[0] < box[2] and box[1] < b[3] and b[1] < box[3] for b in words)
    assert abs(found.at[0]) < 60.0
    assert found.at[1] < 40.0


@pytest.mark.parametrize(("radius", "over"), [(20.0, True), (3.0, False)])
def test_a_name_in_hand_lies_over_its_body_rather_than_far_off_unless_it_would_hide_it(radius, over):
    body = Wanted("flap", ((0, 0), radius), (-radius, -radius, radius, radius), width=60, height=9, must=True)
    close = radius + 60.0
    (place,) = placed([body], pixels=1, covers=lambda box: max(map(abs, box)) <= close + 14.0)
    assert (place.at == (0, 0)) == over


def test_letters_that_would_lie_over_the_lines_of_a_small_body_stand_beside_it_where_that_is_sure():
    (beside,) = placed([BIG], pixels=2, around=Around(holds=never))
    assert not beside.inside
    assert beside.at[0] > 20
    (over,) = placed([BIG], pixels=2, around=Around(holds=never), covers=lambda _: True)
    assert (over.at, over.inside) == ((0, 0), True)
    (kept,) = placed([replace(BIG, beside=False)], pixels=2, around=Around(holds=never))
    assert kept.inside
    (elsewhere,) = placed([BIG], pixels=2, around=Around(holds=never, room=(0, 12)))
    assert (elsewhere.at, elsewhere.inside) == ((0, 12), True)
    (whole,) = placed([BIG], pixels=2, around=Around(holds=lambda box: box[2] - box[0] > BIG.width / 2))
    assert whole.inside


def test_a_name_interrupts_a_thin_line_only_where_no_other_place_is_sure():
    (off,) = placed([SMALL], pixels=2, around=Around(interrupts=lambda box: box[0] > 53))
    assert off.at[0] < 47
    (over,) = placed([SMALL], pixels=2, around=Around(interrupts=lambda box: box[0] > 53), covers=lambda box: box[0] < 53)
    assert over.at == placed([SMALL], pixels=2)[0].at


def test_every_look_at_a_name_is_a_step_of_its_own():
    looked = []
    around = Around(unsure=lambda box, _named: bool(looked.append(box)))
    counts = [len(looked) for _ in name_places([BIG, SMALL], pixels=2, around=around)]
    assert looked
    assert max(after - before for before, after in zip([0, *counts], counts, strict=False)) == 1
