"""Areas that bodies sweep, against closed forms; and random poses, which the envelope must hold."""

import math

import numpy as np
import pytest
import shapely

from core.model.joints import Pivot, Slide
from core.model.project import Body, Drive, Move, Project, Section
from core.model.shapes import Bar, Box, Disc
from core.sweep.envelope import Envelope, NotEnclosed, envelope_of

FINE = 0.002
"""mm: a bound at which the areas below come within 0.05 %."""

CLOSE = 5e-4


def arm(shape, *joints_and_travels):
    """A project of one moving body that hangs on the bay by one joint after the other, each with its own drive."""
    names = ["bay", *(f"carrier {number}" for number in range(1, len(joints_and_travels))), "arm"]
    bodies = [Body(name=name, fixed=name == "bay", depth=(0, 2), shapes=(shape,) if name == "arm" else ()) for name in names]
    joints, drives = [], []
    for number, (make, (start, end)) in enumerate(joints_and_travels):
        joint = make(f"joint {number}", (names[number], names[number + 1]))
        joints.append(joint)
        unit = "mm" if isinstance(joint, Slide) else "deg"
        moves = (Move(section="s", joint=joint.name),)
        drives.append(Drive(name=f"drive {number}", unit=unit, start=start, end=end, home=start, drawn=0.0, speed=10, moves=moves))
    section = Section(name="s", bodies=tuple(bodies), joints=tuple(joints))
    return Project(format=1, name="p", required_gap=0.5, sections=(section,), drives=tuple(drives))


def pivot(at=(0.0, 0.0)):
    return lambda name, between: Pivot(name=name, between=between, at=at)


def slide(along):
    return lambda name, between: Slide(name=name, between=between, at=(0.0, 0.0), along=along)


def enclosed(project, *drives, **settings):
    found = envelope_of(project, project.sections[0], ["arm"], drives or None, **settings)
    assert isinstance(found, Envelope)
    return found


def excess(area, expected):
    """The share by which an area is larger than its closed form; one that is smaller does not hold what is covered."""
    return area / expected - 1


@pytest.mark.parametrize(("turn", "expected"), [(30, 1055.649583), (50, 1206.356968)])
def test_box_about_its_centre(turn, expected):
    # Closed form, computed here: w h + 2 rho^2 (beta - tan(beta / 2)), rho half the diagonal of a box 40 x 20.
    assert 40 * 20 + 2 * 500 * (math.radians(turn) - math.tan(math.radians(turn) / 2)) == pytest.approx(expected, abs=1e-6)
    assert 0 <= excess(enclosed(arm(Box(centre=(0, 0), size=(40, 20)), (pivot(), (0, turn))), bound=FINE).region.area, expected) <= CLOSE


def test_box_once_round_about_its_centre():
    # Closed form: the disc of its half diagonal.
    assert (
        0
        <= excess(enclosed(arm(Box(centre=(0, 0), size=(40, 20)), (pivot(), (-180, 180))), bound=FINE).region.area, 500 * math.pi)
        <= CLOSE
    )


def test_slot_arm_about_one_end():
    # Closed form, computed here: the sector of radius L that the middle line sweeps, grown by r (Steiner's formula; it is convex).
    length, r, turn = 30.0, 4.0, math.radians(60)
    expected = length**2 * turn / 2 + (2 * length + length * turn) * r + math.pi * r * r
    assert expected == pytest.approx(887.168087, abs=1e-6)
    found = enclosed(arm(Bar(start=(0, 0), end=(length, 0), radius=r), (pivot(), (0, 60))), bound=FINE)
    assert 0 <= excess(found.region.area, expected) <= CLOSE


@pytest.mark.parametrize("turn", [90, 270])
def test_disc_carried_about_a_pin_covers_an_annular_sector(turn):
    # Closed form: a band 2 r wide along the arc of its centre, and a half disc at each end: 2 r R beta + pi r^2.
    reach, r = 25.0, 4.0
    found = enclosed(arm(Disc(centre=(reach, 0), radius=r), (pivot(), (0, turn))), bound=FINE)
    assert 0 <= excess(found.region.area, 2 * r * reach * math.radians(turn) + math.pi * r * r) <= CLOSE
    assert len(found.rings) == 1


def test_disc_once_round_leaves_the_middle_free():
    found = enclosed(arm(Disc(centre=(25, 0), radius=4), (pivot(), (-180, 180))), bound=FINE)
    assert 0 <= excess(found.region.area, math.pi * (29**2 - 21**2)) <= CLOSE
    assert len(found.rings) == 2


def test_box_that_slides_is_covered_exactly():
    # A translation: w h + |t| (w |sin| + h |cos|).
    found = enclosed(arm(Box(centre=(0, 0), size=(12, 6)), (slide(30), (0, 20))), bound=FINE)
    assert 0 <= excess(found.region.area, 12 * 6 + 20 * (12 * 0.5 + 6 * math.cos(math.radians(30)))) <= CLOSE
    assert found.boxes == 1


def test_disc_on_two_crossed_slides_covers_a_rounded_rectangle():
    found = enclosed(arm(Disc(centre=(0, 0), radius=3), (slide(0), (0, 20)), (slide(90), (-5, 5))), bound=FINE)
    assert 0 <= excess(found.region.area, 20 * 10 + 2 * 3 * 30 + math.pi * 9) <= CLOSE


def test_disc_on_two_arms_covers_the_ring_that_both_reach():
    # Centre: arms 20 and 12, elbow through -180..180 and shoulder too: an annulus from 8 to 32, grown by the disc's 2.
    found = enclosed(arm(Disc(centre=(32, 0), radius=2), (pivot(), (-180, 180)), (pivot((20, 0)), (-180, 180))), bound=0.008)
    assert 0 <= excess(found.region.area, math.pi * (34**2 - 6**2)) <= CLOSE


def test_growth_by_the_required_gap_is_a_band_all_round():
    # A convex region grown by g: area + perimeter g + pi g^2 (Steiner).
    project = arm(Box(centre=(0, 0), size=(12, 6)), (slide(0), (0, 20)))
    assert 0 <= excess(enclosed(project, bound=FINE, grow=1.5).region.area, 32 * 6 + 2 * 38 * 1.5 + math.pi * 1.5**2) <= CLOSE


def test_a_drive_that_is_left_out_stands_at_home():
    project = arm(Box(centre=(0, 0), size=(12, 6)), (slide(0), (0, 20)), (slide(90), (4, 9)))
    found = enclosed(project, "drive 0", bound=FINE)
    assert 0 <= excess(found.region.area, 32 * 6) <= CLOSE
    assert found.region.bounds == pytest.approx((-6, 1, 26, 7), abs=FINE)
    assert found.drives == ("drive 0",)
    assert isinstance(envelope_of(project, project.sections[0], ["arm"], ["drive 0"], most_boxes=0), NotEnclosed)


def test_blade_about_its_middle_covers_two_sectors_and_nothing_between():
    # A thin blade turned by 60 about its middle: w h + 2 rho^2 (beta - tan(beta / 2)) as above; what it misses at both ends of
    # the travel is a wedge that a hull of neighbouring poses would hold.
    length, width, turn = 40.0, 0.5, math.radians(60)
    expected = length * width + (length**2 + width**2) / 2 * (turn - math.tan(turn / 2))
    poses = [shapely.affinity.rotate(shapely.box(-20, -0.25, 20, 0.25), angle, origin=(0, 0)) for angle in np.linspace(0, 60, 4001)]
    dense = float(shapely.union_all(poses).area)
    found = enclosed(arm(Box(centre=(0, 0), size=(length, width)), (pivot(), (0, 60))), bound=FINE)
    assert dense <= found.region.area <= dense * (1 + CLOSE)
    assert expected < dense  # the closed form is for stouter boxes


def test_bound_is_kept_everywhere():
    # The region's outline lies no farther outside the true one, a circle, than the bound told, and never inside it.
    found = enclosed(arm(Box(centre=(0, 0), size=(40, 20)), (pivot(), (-180, 180))), bound=0.05)
    corners = np.abs([complex(*point) for point in found.rings[0]])
    middles = np.abs(shapely.get_coordinates(shapely.centroid(shapely.linestrings(_edges(found.rings[0])))) @ [1, 1j])
    rho = math.hypot(20, 10)
    assert found.bound <= 0.05
    assert corners.max() <= rho + found.bound
    assert middles.min() >= rho


def _edges(ring):
    return np.stack([ring, np.roll(ring, -1, axis=0)], axis=1)
