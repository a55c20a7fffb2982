import pytest

from app.board.tools.drawn_shape import BAR_RADIUS, WALL, Kind, drawn_shape
from core.model.shapes import Bar, Bore, Box, Disc, Frame


def test_disc_and_bore_reach_from_centre_to_rim() -> None:
    assert drawn_shape("disc", (1.0, 2.0), (4.0, 6.0)) == Disc(centre=(1.0, 2.0), radius=5.0)
    assert drawn_shape("bore", (1.0, 2.0), (4.0, 6.0)) == Bore(centre=(1.0, 2.0), radius=5.0, wall=WALL)


def test_bar_runs_from_the_first_point_to_the_second() -> None:
    assert drawn_shape("bar", (1.0, 2.0), (4.0, 6.0)) == Bar(start=(1.0, 2.0), end=(4.0, 6.0), radius=BAR_RADIUS)


@pytest.mark.parametrize(("first", "second"), [((0.0, 0.0), (8.0, 6.0)), ((8.0, 6.0), (0.0, 0.0)), ((0.0, 6.0), (8.0, 0.0))])
def test_box_and_frame_are_the_same_from_any_corner(first: tuple[float, float], second: tuple[float, float]) -> None:
    assert drawn_shape("box", first, second) == Box(centre=(4.0, 3.0), size=(8.0, 6.0))
    assert drawn_shape("frame", first, second) == Frame(centre=(4.0, 3.0), size=(8.0, 6.0), wall=WALL)


@pytest.mark.parametrize("kind", ["disc", "bar", "box", "bore", "frame"])
def test_two_points_in_one_place_make_nothing(kind: Kind) -> None:
    assert drawn_shape(kind, (3.0, 3.0), (3.0, 3.0)) is None


@pytest.mark.parametrize("kind", ["box", "frame"])
def test_a_flat_box_makes_nothing(kind: Kind) -> None:
    assert drawn_shape(kind, (0.0, 0.0), (8.0, 0.0)) is None
