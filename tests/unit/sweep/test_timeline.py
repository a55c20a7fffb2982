"""The rows of the interference timeline, made by hand and from a proved bay."""

from types import MappingProxyType

import numpy as np
import pytest

from core.sweep.profile import profiles
from core.sweep.result import Breach, Check
from core.sweep.run import check_project
from core.sweep.timeline import Cells, Row, band_edges, heat_step, heat_steps, judged, pooled, timeline
from tests.bays import bay, body, box, disc, drive, pivot, project

CELLS = Cells("swing", np.linspace(0.0, 10.0, 11), np.array([9.0, 8, 7, 6, 5, 4, 3, 2, 1, 0.5]))


def check(*, breaches=(), sweep="solo", lowest=3.0, tolerance=0.0):
    return Check(
        sweep=sweep,
        drives=("swing",),
        section="Side",
        between=("arm", "wall"),
        required_gap=1.0,
        tolerance=tolerance,
        verdict="breach" if breaches else "clear",
        proof="bounded",
        reached=(("swing", 0.0, 10.0),),
        lowest_gap=lowest,
        at=(("swing", 4.2),),
        way_out=None,
        floor=None,
        breaches=breaches,
    )


def row(*, solo=None, tolerance=0.0):
    return Row(
        section="Side",
        between=("arm", "wall"),
        required=1.0,
        tolerance=tolerance,
        group="alone",
        verdict=None,
        lowest_gap=3.0,
        at=(),
        floor=None,
        cells=MappingProxyType({"swing": CELLS}),
        solo=MappingProxyType({"swing": solo} if solo else {}),
        together=None,
    )


@pytest.fixture(scope="module")
def swinging():
    """An arm that swings into a post, and a wall that it never reaches."""
    bodies = [
        body("post", disc(0, 32, 3), fixed=True),
        body("wall", box(-60, 0, 4, 40), fixed=True),
        body("arm", box(15, 0, 30, 4)),
    ]
    return project(bay(bodies, [pivot("hub", "post", "arm")], [drive("swing", (-10, 100), "hub")], required_gap=1.0))


@pytest.mark.parametrize(
    ("gap", "step"),
    [(4.0, 1), (3.99, 2), (2.0, 2), (1.99, 3), (1.0, 3), (0.99, 4), (0.5, 4), (0.49, 5), (0.01, 5), (0.0, 6), (-0.5, 6), (-0.51, 7)],
)
def test_steps_part_at_multiples_of_the_required_gap(gap, step):
    assert heat_step(gap, 1.0) == step


def test_where_only_touching_is_asked_a_gap_of_zero_is_no_contact():
    assert heat_step(0.0, 0.0) < 4
    assert heat_step(-0.01, 0.0) == 6


def test_no_gap_has_no_step():
    assert heat_steps(np.array([np.nan, 5.0]), 1.0).tolist() == [0, 1]


def test_a_column_shows_the_lowest_gap_of_all_it_covers():
    assert pooled(CELLS, np.array([0.0, 2.5, 9.0, 10.0])).tolist() == [7.0, 1.0, 0.5]


def test_a_column_inside_one_cell_shows_that_cell():
    assert pooled(CELLS, np.array([3.2, 3.4])).tolist() == [6.0]


def test_columns_beyond_the_cells_take_the_nearest():
    assert pooled(CELLS, np.array([-2.0, -1.0])).tolist() == [9.0]
    assert pooled(CELLS, np.array([11.0, 12.0])).tolist() == [0.5]


def test_a_proved_breach_thinner_than_a_sample_shows_in_its_column():
    thin = Breach(start=2.41, end=2.43, contacts=(), lowest_gap=0.7, at=2.42)
    shown = judged(row(solo=check(breaches=(thin,))), "swing", np.linspace(0, 10, 21))
    assert shown[4] == pytest.approx(0.7)
    assert shown[3] == 8.0
    assert shown[5] == 7.0


def test_a_proved_contact_is_never_shown_roomier():
    met = Breach(start=2.0, end=4.0, contacts=((2.6, 3.4),), lowest_gap=-0.2, at=3.0)
    shown = judged(row(solo=check(breaches=(met,))), "swing", np.linspace(0, 10, 101))
    assert (shown[26:34] <= 0).all()
    assert (shown[20:40] < 1.0).all()
    assert (shown[:20] >= 1.0).all()
    assert shown.min() == pytest.approx(-0.2)


def test_the_outline_tolerance_is_taken_off():
    assert judged(row(tolerance=0.4), "swing", np.array([0.0, 1.0]))[0] == pytest.approx(8.6)


def test_a_drive_that_does_not_move_the_pair_has_no_gaps():
    assert np.isnan(judged(row(), "lift", np.linspace(0, 1, 4))).all()


def test_rows_stand_by_group_and_then_tightest_first(swinging):
    result = check_project(swinging)
    rows = timeline(swinging, profiles(swinging, 60), result).rows
    assert [one.between for one in rows] == [("post", "arm"), ("wall", "arm")]
    assert [one.group for one in rows] == ["alone", "clear"]
    assert rows[0].verdict == "breach"
    assert rows[0].lead is rows[0].solo["swing"]


def test_before_anything_is_proved_rows_come_from_the_samples(swinging):
    rows = timeline(swinging, profiles(swinging, 60), None).rows
    assert [(one.between, one.group, one.verdict) for one in rows] == [
        (("post", "arm"), "alone", None),
        (("wall", "arm"), "clear", None),
    ]
    assert 80.0 < dict(rows[0].at)["swing"] < 100.0


def test_without_samples_rows_come_from_the_proof(swinging):
    rows = timeline(swinging, (), check_project(swinging)).rows
    assert rows[0].cells == {}
    assert rows[0].lowest_gap < 0


def test_no_samples_and_no_proof_make_no_rows(swinging):
    assert timeline(swinging, (), None).rows == ()


def test_values_worth_stopping_at_are_ends_home_and_ends_of_breaches(swinging):
    rows = timeline(swinging, profiles(swinging, 60), check_project(swinging)).rows
    breach = rows[0].solo["swing"].breaches[0]
    edges = band_edges(swinging, rows[0], "swing")
    assert edges[0] == -10
    assert edges[-1] == 100
    assert {0.0, breach.start, breach.end, breach.at, *breach.contact} <= set(edges)
    assert list(edges) == sorted(edges)
