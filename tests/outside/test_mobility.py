"""Mobility against counts and ranks worked out by hand and by the full Jacobian of all bodies.

Closed forms: Gruebler's count is 3 (n - 1) - 2 J1 - J2; the real mobility of each row follows from the parallelogram's geometry.
"""

import math

import numpy as np
import pytest

from core.model.joints import PinSlot, Pivot
from core.model.project import Project
from core.motion.linkage import direction, linkage_of
from core.motion.mobility import SectionMobility, mobility
from tests.mechanisms import (
    BAY,
    circles_meet,
    cranks_and_rods,
    drive,
    four_bar,
    mechanism,
    pin_slot,
    pivot,
    polar,
    push_pull,
    slide,
    slider_crank,
)


def looked_at(project: Project) -> SectionMobility:
    (found,) = mobility(project, linkage_of(project))
    return found


def three_cranks(*, third: complex) -> Project:
    """Equal cranks about (0, 0), (40, 0) and (80, 0) on one coupler, the third with its own crank vector."""
    crank = polar(15, 70)
    joints = []
    for index, (base, arm) in enumerate([(0, crank), (40, crank), (80, third)], start=1):
        joints.append(pivot(f"pivot {index}", BAY, f"crank {index}", complex(base)))
        joints.append(pivot(f"pin {index}", f"crank {index}", "coupler", base + arm))
    return mechanism(joints, drive("servo", ("pivot 1", 1)))


def two_guides(*, other: float) -> Project:
    return mechanism([slide("rail 1", BAY, "block", along=20), slide("rail 2", BAY, "block", along=other, at=30j)])


def five_bar() -> Project:
    joints = [
        pivot("left pivot", BAY, "left crank", 0j),
        pivot("left pin", "left crank", "left rod", -10 + 30j),
        pivot("tip", "left rod", "right rod", 25 + 70j),
        pivot("right pin", "right rod", "right crank", 60 + 25j),
        pivot("right pivot", "right crank", BAY, 50 + 0j),
    ]
    return mechanism(joints, drive("left", ("left pivot", 1)))


def slotted_lever() -> Project:
    joints = [
        pivot("crank pivot", BAY, "crank", 240j),
        pivot("lever pivot", BAY, "lever", 0j),
        pin_slot("slot", "crank", "lever", 120 + 240j, along=math.degrees(math.atan2(240, 120))),
    ]
    return mechanism(joints, drive("crank", ("crank pivot", 1)))


ROWS = {
    # closed form: name, project, count, real at the drawn pose, real that lasts
    "single-rod parallelogram": (push_pull(hub=12, rods=(90,)), 1, 1, 1),
    "single-rod parallelogram at dead centre": (push_pull(hub=12, rods=(0,)), 1, 2, 1),
    "double push-pull rod, 180 degrees apart": (push_pull(hub=12, turn=20), 0, 1, 1),
    "double push-pull rod, unequal arms, as drawn": (push_pull(), 0, 1, 1),
    "both rods on dead centre": (push_pull(hub=12, rods=(0, 180)), 0, 2, 1),
    "rods 90 degrees apart": (push_pull(hub=12, rods=(0, 90)), 0, 1, 1),
    "three equal parallel cranks": (three_cranks(third=polar(15, 70)), 0, 1, 1),
    "third crank not parallel": (three_cranks(third=polar(15, 100)), 0, 0, 0),
    "five-bar": (five_bar(), 2, 2, 2),
    "block in two parallel guides": (two_guides(other=20), -1, 1, 1),
    "block in two crossing guides": (two_guides(other=50), -1, 0, 0),
    "four-bar": (four_bar((40, 120, 80, 100), drawn=40), 1, 1, 1),
    "slider-crank": (slider_crank(50, 200, drawn=60), 1, 1, 1),
    "slotted lever": (slotted_lever(), 1, 1, 1),
}


@pytest.mark.parametrize("name", ROWS)
def test_count_and_real_mobility(name):
    project, count, real, lasting = ROWS[name]
    found = looked_at(project)
    assert (found.count, found.real, found.real - found.instantaneous) == (count, real, lasting)
    assert found.redundant == lasting - count


def absolute_rank(project: Project) -> int:
    """Rank of what all joints forbid to the x, y and turn of every body: an independent route, in the section frame at once."""
    section = project.sections[0]
    column = {body.name: 3 * index for index, body in enumerate(body for body in section.bodies if not body.fixed)}
    rows = []
    for joint in section.joints:
        at, line = complex(*joint.at), direction(joint)
        for across in (1, 1j) if isinstance(joint, Pivot) else (1j * line,):
            row = np.zeros(3 * len(column))
            for body, sign in zip(joint.between, (-1, 1), strict=True):
                if body in column:
                    turning = 1j * at / 100
                    row[column[body] : column[body] + 3] = [
                        sign * part for part in (across.real, across.imag, (across.conjugate() * turning).real)
                    ]
            rows.append(row)
        if not isinstance(joint, Pivot | PinSlot):
            row = np.zeros(3 * len(column))
            for body, sign in zip(joint.between, (-1, 1), strict=True):
                if body in column:
                    row[column[body] + 2] = sign
            rows.append(row)
    return int(np.linalg.matrix_rank(np.array(rows), tol=1e-7))


@pytest.mark.parametrize("name", ROWS)
def test_rank_is_that_of_the_jacobian_of_all_bodies(name):
    project = ROWS[name][0]
    assert looked_at(project).rank == absolute_rank(project)


def test_the_single_rod_at_dead_centre_leaves_its_hub_loose_for_that_moment_only():
    found = looked_at(push_pull(hub=12, rods=(0,)))
    (undriven,) = found.undriven
    assert (undriven.freedoms, undriven.lasting) == (1, False)
    assert "hub pivot" in undriven.joints
    assert "horn pivot" not in undriven.joints
    assert not found.loose


def test_a_five_bar_with_one_drive_has_one_undriven_freedom_of_its_other_joints():
    project = five_bar()
    found = looked_at(project)
    (undriven,) = found.undriven
    assert (undriven.freedoms, undriven.lasting) == (1, True)
    assert set(undriven.joints) == {"left pin", "tip", "right pin", "right pivot"}
    linkage = linkage_of(project).sections[0]
    assert {linkage.groups[group][0] for group in found.loose} == {"left rod", "right rod", "right crank"}


def test_a_driven_four_bar_has_nothing_undriven():
    assert not looked_at(four_bar((40, 120, 80, 100), drawn=40)).undriven


def test_a_crank_that_is_not_driven_is_told_with_all_joints_that_then_move():
    found = looked_at(push_pull(hub=12, turn=20, driven=False))
    (undriven,) = found.undriven
    assert len(undriven.joints) == 6
    assert found.drives == 0


def test_the_excess_names_the_joints_round_the_redundant_rods():
    (excess,) = looked_at(push_pull(hub=12, turn=20)).excess
    assert excess.redundant == 1
    assert set(excess.joints) == {"horn pivot", "hub pivot", "horn pin 1", "hub pin 1", "horn pin 2", "hub pin 2"}


def test_open_joints_and_bodies_held_by_nothing_are_counted():
    project = mechanism([pivot("hub", BAY, "arm", 0j), pin_slot("slot", "arm", "plate", 9 + 0j, along=0), pivot("pin", "link", "bar", 5j)])
    found = looked_at(project)
    # 3 * 4 moving groups, less two pivots and one slot
    assert (found.count, found.real, found.redundant) == (7, 7, 0)
    assert [(entry.joints, entry.freedoms) for entry in found.undriven] == [(("hub",), 1), (("slot",), 2), (("pin",), 1)]
    assert len(found.loose) == 4


def test_rods_whose_lengths_are_rounded_as_files_are_keep_their_mobility():
    turn = [complex(round(point.real, 6), round(point.imag, 6)) for point in (polar(12, 31), polar(12, 211))]
    found = looked_at(cranks_and_rods([(pin, 60 + pin) for pin in turn], apart=60 + 0j))
    assert (found.count, found.real, found.redundant) == (0, 1, 1)


def test_circles_meet_as_the_three_four_five_triangle_does():
    assert circles_meet(0j, 3, 5 + 0j, 4, left=True) == pytest.approx(1.8 + 2.4j)
