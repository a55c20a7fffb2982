"""What grips are called, and the lengths that stand beside them."""

import math

import pytest

from app.drawing.grip_words import how_to, lengths_of, out_name, step_name, told
from app.drawing.grips_of import grips_of
from core.model.names import BodyName
from core.model.project import Body
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Polygon
from core.sentences import plain

WEB = Polygon(points=((0, 0), (30, 0), (30, 40), (0, 40)), holes=(((5, 5), (10, 5), (5, 10)),))


def grip(shape, kind, place=0, hole=None):
    return next(one for one in grips_of(shape, away=4) if (one.kind, one.place, one.hole) == (kind, place, hole))


def body(*shapes):
    return Body(name=BodyName("arm"), fixed=False, depth=(0, 3), shapes=shapes)


@pytest.mark.parametrize(
    ("shape", "kind", "place", "words"),
    [
        (Box(centre=(0, 0), size=(40, 20)), "corner", 2, "Corner 3 of arm: 40.00 by 20.00 mm"),
        (Box(centre=(0, 0), size=(40, 20)), "side", 1, "Side 2 of arm: 20.00 mm"),
        (Box(centre=(0, 0), size=(40, 20), turn=30), "turn", 0, "Turn of arm: 30.0\N{DEGREE SIGN}"),
        (Frame(centre=(0, 0), size=(40, 20), wall=2), "wall", 0, "Wall of arm: 2.00 mm"),
        (Disc(centre=(1, 2), radius=3), "centre", 0, "Centre of arm: (1.00, 2.00) mm"),
        (Bore(centre=(1, 2), radius=3, wall=1), "radius", 0, "Radius of arm: 3.00 mm"),
        (Bar(start=(0, 0), end=(9, 0), radius=1), "end", 1, "End 2 of arm: (9.00, 0.00) mm"),
        (WEB, "point", 2, "Point 3 of arm: (30.00, 40.00) mm"),
        (WEB, "rounding", 0, "Corner radius of arm: 0.00 mm"),
    ],
)
def test_a_grip_tells_its_numbers(shape, kind, place, words):
    assert told(body(shape), 0, grip(shape, kind, place), plain) == words


def test_a_grip_tells_its_hole_and_its_shape_where_there_are_several():
    several = body(Disc(centre=(0, 0), radius=3), WEB)
    assert told(several, 1, grip(WEB, "point", 0, 0), plain) == "Point 1 of hole 1 of arm, shape 2: (5.00, 5.00) mm"


def test_only_what_delete_does_is_promised():
    assert "takes it out" in how_to(body(WEB), 0, grip(WEB, "point"), plain)
    assert "fills its hole" in how_to(body(WEB), 0, grip(WEB, "point", 0, 0), plain)
    triangle = Polygon(points=((0, 0), (30, 0), (30, 40)))
    assert "Delete" not in how_to(body(triangle), 0, grip(triangle, "point"), plain)
    assert "Delete" not in how_to(body(WEB), 0, grip(WEB, "rounding"), plain)


def test_steps_of_the_history_say_what_was_done():
    disc = Disc(centre=(0, 0), radius=3)
    assert step_name(grip(disc, "centre"), body(disc), plain) == "Move arm"
    assert step_name(grip(disc, "centre"), body(disc, disc), plain) == "Move a shape of arm"
    assert out_name(grip(WEB, "point"), 0, body(WEB), plain) == "Take a point out of arm"
    assert out_name(grip(WEB, "point", 0, 0), 0, body(WEB), plain) == "Fill a hole of arm"


@pytest.mark.parametrize(
    ("shape", "kind", "place", "words"),
    [
        (Box(centre=(0, 0), size=(40, 20)), "corner", 2, ["40.00", "20.00"]),
        (Box(centre=(0, 0), size=(40, 20)), "side", 1, ["20.00"]),
        (Box(centre=(0, 0), size=(40, 20), corner_radius=3), "rounding", 0, ["R 3.00"]),
        (Frame(centre=(0, 0), size=(40, 20), wall=2.5), "wall", 0, ["2.50"]),
        (Bore(centre=(0, 0), radius=7, wall=1), "wall", 0, ["1.00"]),
        (Bore(centre=(0, 0), radius=7, wall=1), "radius", 0, ["R 7.00"]),
        (Bar(start=(0, 0), end=(0, 9), radius=1), "end", 1, ["9.00  90.0\N{DEGREE SIGN}"]),
        (Bar(start=(0, 0), end=(0, 9), radius=1), "radius", 0, ["R 1.00"]),
        (WEB, "point", 1, ["30.00", "40.00"]),
        (Disc(centre=(0, 0), radius=7), "centre", 0, []),
    ],
)
def test_the_lengths_that_change_stand_beside_the_grip(shape, kind, place, words):
    assert [one.words for one in lengths_of(shape, grip(shape, kind, place), air=2)] == words


def test_a_dimension_line_is_as_long_as_it_says_and_stands_off_the_shape():
    frame = Frame(centre=(3, 4), size=(40, 20), wall=5, turn=25)
    for one in lengths_of(frame, grip(frame, "corner"), air=2):
        assert math.dist(one.start, one.end) == pytest.approx(float(one.words))
        middle = [(a + b) / 2 for a, b in zip(one.start, one.end, strict=True)]
        assert math.dist(middle, frame.centre) == pytest.approx({"40.00": 10, "20.00": 20}[one.words] + 5 + 2)
