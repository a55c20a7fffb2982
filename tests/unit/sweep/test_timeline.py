"""Rows of the interference timeline: order, groups, heat steps, and columns that never look roomier than what lies in them."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from core.model.edit_bodies import add_body
from core.model.edit_joints import add_joint
from core.model.edit_project import bay_wall, new_project
from core.model.joints import Pivot
from core.model.project import Body
from core.model.shapes import Disc
from core.project_file.read import read_project
from core.sweep.profile import profiles
from core.sweep.run import check_project
from core.sweep.timeline import Cells, band_edges, heat_step, judged, pooled, timeline, with_cells
from core.tolerances import DEFAULT_TOLERANCES

BARRIER_ARM = Path(__file__).parents[2] / "fixtures" / "barrier_arm.bay.json"


@pytest.fixture(scope="module")
def project():
    return read_project(BARRIER_ARM)


@pytest.fixture(scope="module")
def rows(project):
    return timeline(project, profiles(project, 60), check_project(project))


@pytest.mark.parametrize(
    ("gap", "step"),
    [(4.0, 1), (3.9, 2), (2.0, 2), (1.9, 3), (1.0, 3), (0.99, 4), (0.5, 4), (0.49, 5), (0.01, 5), (0.0, 6), (-0.5, 6), (-0.51, 7)],
)
def test_heat_steps_part_at_the_gap_required_its_multiples_contact_and_deep(gap, step):
    assert heat_step(gap, 1.0) == step


def test_touching_is_no_contact_where_nothing_more_is_asked():
    assert heat_step(0.0, 0.0) < 4
    assert heat_step(-0.01, 0.0) == 6


def test_a_column_takes_the_lowest_gap_of_all_cells_it_touches():
    cells = Cells("swing", np.array([0.0, 1.0, 2.0, 3.0]), np.array([5.0, 1.0, 4.0]))
    assert pooled(cells, np.array([0.0, 1.5, 3.0])).tolist() == [1.0, 1.0]
    assert pooled(cells, np.array([2.0, 3.0])).tolist() == [4.0]


def test_the_tightest_pair_leads_and_its_numbers_are_those_of_its_solo_check(rows):
    first = rows.rows[0]
    assert (first.between, first.group, first.verdict) == (("motor", "rib"), "alone", "breach")
    # Closed form of the barrier arm: about 0.16 mm deep near 38 degrees.
    assert first.lowest_gap == pytest.approx(-0.165, abs=0.006)
    assert dict(first.at)["swing"] == pytest.approx(38.0, abs=0.05)
    assert [row.margin for row in rows.rows[1:]] == sorted(row.margin for row in rows.rows[1:])


def test_a_breach_thinner_than_a_column_is_still_seen_in_it(rows):
    edges = np.array([-45.0, 30.0, 36.0, 40.5, 45.0])
    steps = [heat_step(float(gap), 1.0) for gap in judged(rows.rows[0], "swing", edges)]
    assert steps[2] == 6
    assert steps[1] in (4, 5)
    assert steps[3] in (4, 5)
    assert steps[0] < 4


def test_edges_worth_stopping_at_hold_the_breach_and_its_contact(project, rows):
    edges = band_edges(project, rows.rows[0], "swing")
    # Closed form: the breach from 31.808 to the end of travel, in contact from 36.401.
    for value in (-45.0, 0.0, 31.808, 36.401, 45.0):
        assert min(abs(edge - value) for edge in edges) < 2e-3


def test_a_drive_that_does_not_move_a_pair_has_no_gap_there(rows):
    assert np.isnan(judged(rows.rows[0], "another drive", np.array([0.0, 1.0]))).all()


def test_columns_beyond_the_cells_take_the_nearest():
    cells = Cells("swing", np.array([0.0, 1.0, 2.0]), np.array([5.0, 1.0]))
    assert pooled(cells, np.array([-2.0, -1.0])).tolist() == [5.0]
    assert pooled(cells, np.array([3.0, 4.0])).tolist() == [1.0]


def test_cells_that_a_loop_does_not_reach_hide_no_gap_beside_them():
    cells = Cells("swing", np.array([0.0, 1.0, 2.0, 3.0]), np.array([np.nan, 1.0, np.nan]))
    assert pooled(cells, np.array([0.0, 2.0, 3.0])).tolist() == pytest.approx([1.0, np.nan], nan_ok=True)


def sampled(project, lowest):
    """The row of motor and rib from three sampled cells alone."""
    found = next(profile for profile in profiles(project, 3) if profile.between == ("motor", "rib"))
    (row,) = timeline(project, (replace(found, lowest=np.array(lowest)),), None).rows
    return row


def test_the_lowest_sampled_gap_is_that_of_the_cells_that_are_reached(project):
    row = sampled(project, [np.nan, 0.25, 3.0])
    assert (row.lowest_gap, row.at, row.group) == (0.25, (("swing", 0.0),), "alone")


def test_a_pair_of_which_nothing_is_reached_has_no_lowest_gap(project):
    row = sampled(project, [np.nan, np.nan, np.nan])
    assert (row.lowest_gap, row.group) == (np.inf, "clear")


def test_the_outline_tolerance_is_taken_off_before_a_gap_is_judged(rows):
    edges = np.linspace(-45.0, 45.0, 10)
    given = replace(rows.rows[-1], tolerance=0.4)
    assert judged(given, "swing", edges) == pytest.approx(judged(rows.rows[-1], "swing", edges) - 0.4)


def test_before_anything_is_proved_rows_come_from_the_samples(project):
    first, *others = timeline(project, profiles(project, 60), None).rows
    assert (first.between, first.group, first.verdict, first.floor) == (("motor", "rib"), "alone", None, None)
    assert dict(first.at)["swing"] == pytest.approx(38.0, abs=1.5)
    assert {row.group for row in others} == {"clear"}


def test_without_samples_rows_come_from_the_proof(project, rows):
    proved = timeline(project, (), check_project(project)).rows
    assert [row.between for row in proved] == [row.between for row in rows.rows]
    assert all(not row.cells for row in proved)


def test_rows_of_a_proof_given_samples_later_are_those_made_of_both_at_once(project):
    sampled, proved = profiles(project, 96), check_project(project)
    bare = timeline(project, (), proved).rows
    told, whole = with_cells(bare, sampled), timeline(project, sampled, proved).rows
    assert [replace(row, cells={}) for row in told] == [replace(row, cells={}) for row in whole]
    for one, other in zip(told, whole, strict=True):
        assert list(one.cells) == list(other.cells)
        assert all((cells.lowest == other.cells[drive].lowest).all() for drive, cells in one.cells.items())
    assert any(row.cells for row in told)
    assert with_cells(bare, ()) == bare


def test_no_samples_and_no_proof_make_no_rows(project):
    assert timeline(project, (), None).rows == ()


def test_a_project_without_drives_has_rows_of_its_drawn_pose():
    cam = Body(name="cam", fixed=False, depth=(2, 8), shapes=(Disc(centre=(0, 0), radius=5),))
    still = add_body(add_body(new_project(), "Side", bay_wall((120.0, 80.0))), "Side", cam)
    still = add_joint(still, "Side", Pivot(name="pin", between=("bay", "cam"), at=(0, 0)))
    (row,) = timeline(still, (), check_project(still)).rows
    assert (row.solo, row.group, row.lowest_gap) == ({}, "undecided", 35)


def test_rows_are_counted_by_group_found_by_pair_and_parted_where_the_clear_ones_begin(rows):
    assert sum(rows.counts.values()) == len(rows.rows)
    assert rows.counts["alone"] == len([row for row in rows.rows if row.group == "alone"])
    assert [rows.row_of(row.section, row.between) for row in rows.rows] == list(range(len(rows.rows)))
    assert rows.row_of("Side", ("nobody", "rib")) is None
    assert 0 < rows.clear_from < len(rows.rows)
    assert {row.verdict for row in rows.rows[rows.clear_from :]} == {"clear"}
    assert rows.rows[rows.clear_from - 1].verdict != "clear"


def test_a_gap_a_rounding_short_of_a_step_takes_it_so_that_one_gap_has_one_look():
    touch = DEFAULT_TOLERANCES.touch
    for bound, step in ((4.0, 1), (2.0, 2), (1.0, 3)):
        assert {heat_step(bound + off, 1.0) for off in (1e-9, 0.0, -1e-9, -0.9 * touch)} == {step}
        assert heat_step(bound - 2.0 * touch, 1.0) == step + 1
    assert heat_step(-1e-9, 0.0) < heat_step(-2.0 * touch, 0.0)


def test_where_a_breach_is_proved_the_cell_looks_short_however_little_it_is(rows):
    row = next(row for row in rows.rows if "swing" in row.solo and row.solo["swing"].breaches)
    (breach,) = row.solo["swing"].breaches
    flat = Cells("swing", np.array([breach.start, breach.start + 0.1]), np.array([row.required + row.tolerance]))
    met = replace(row, cells={"swing": flat})  # as sampled it is met all along the first of the breach
    (gap,) = judged(met, "swing", flat.edges)
    assert heat_step(float(gap), row.required) == 4
