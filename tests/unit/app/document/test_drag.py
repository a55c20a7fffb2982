"""A hand on a body: which drive follows, and to what value. Expected angles are plain trigonometry."""

import cmath
import math

import pytest
from msgspec.structs import replace

from app.document.drag import held_still, take_hold, value_toward, with_detent
from app.document.mechanism import Mechanism
from tests.bays import SIDE, bay, body, box, drive, pivot, project, slide


@pytest.fixture(scope="module")
def arms():
    """A lower arm about the origin that carries an upper arm at its end; a sled on a rail."""
    bodies = [
        body("plate", box(0, -90, 10, 10), fixed=True),
        body("lower", box(20, 0, 40, 4)),
        body("upper", box(55, 0, 30, 4), depth=(10, 12)),
        body("sled", box(0, 120, 10, 10)),
    ]
    joints = [
        pivot("shoulder", "plate", "lower"),
        pivot("elbow", "lower", "upper", at=(40, 0)),
        slide("rail", "plate", "sled", along=30.0, at=(0, 120)),
    ]
    drives = [
        drive("raise", (-90, 90), "shoulder"),
        drive("bend", (-120, 120), "elbow"),
        drive("ride", (-20, 50), "rail", unit="mm"),
    ]
    return Mechanism(project(bay(bodies, joints, drives)))


HOME = {"raise": 0.0, "bend": 0.0, "ride": 0.0}


def test_a_body_follows_the_drive_that_carries_least_else(arms):
    assert take_hold(arms, SIDE, "lower", HOME, 30 + 0j).drive == "raise"
    assert take_hold(arms, SIDE, "upper", HOME, 60 + 0j).drive == "bend"
    assert take_hold(arms, SIDE, "sled", HOME, 120j).drive == "ride"


def test_a_fixed_body_follows_nothing(arms):
    assert take_hold(arms, SIDE, "plate", HOME, -90j) is None


@pytest.mark.parametrize("angle", [-75.0, -3.2, 0.0, 41.7, 88.0])
def test_an_arm_turns_to_the_angle_of_the_pointer(arms, angle):
    grip = take_hold(arms, SIDE, "lower", HOME, 30 + 0j)
    pointer = 45 * cmath.exp(1j * math.radians(angle))
    assert value_toward(grip, pointer) == pytest.approx(angle, abs=0.01)


def test_an_arm_that_is_carried_turns_about_its_own_pin_as_posed(arms):
    at = {**HOME, "raise": 90.0}
    elbow = 40j
    grip = take_hold(arms, SIDE, "upper", at, elbow + 20j)
    pointer = elbow + 20 * cmath.exp(1j * math.radians(90 + 35))
    assert value_toward(grip, pointer) == pytest.approx(35.0, abs=0.01)


def test_a_sled_goes_to_the_foot_of_the_pointer_on_its_rail(arms):
    grip = take_hold(arms, SIDE, "sled", HOME, 120j)
    along = cmath.exp(1j * math.radians(30))
    assert value_toward(grip, 120j + 17 * along + 9j * along) == pytest.approx(17.0, abs=0.01)


def test_a_pointer_beyond_travel_holds_the_drive_at_its_end(arms):
    grip = take_hold(arms, SIDE, "sled", HOME, 120j)
    along = cmath.exp(1j * math.radians(30))
    assert value_toward(grip, 120j + 400 * along) == pytest.approx(50.0)


def test_a_detent_catches_what_is_near_and_nothing_else():
    assert with_detent(31.9, (12.0, 31.808), within=0.3) == 31.808
    assert with_detent(33.0, (12.0, 31.808), within=0.3) == 33.0
    assert with_detent(33.0, (), within=0.3) == 33.0


def test_a_hold_goes_on_in_the_project_as_it_is_edited_meanwhile(arms):
    grip = take_hold(arms, SIDE, "sled", HOME, 120j)
    along = cmath.exp(1j * math.radians(30.0))
    assert held_still(arms, grip) is grip
    ride = next(drive for drive in arms.project.drives if drive.name == "ride")
    longer = replace(ride, end=ride.end + 40.0)
    drives = tuple(longer if drive is ride else drive for drive in arms.project.drives)
    edited = Mechanism(replace(arms.project, drives=drives))
    after = held_still(edited, grip)
    way = value_toward(grip, 120j + 400 * along)
    assert value_toward(after, 120j + 400 * along) == pytest.approx(way + 40.0)
    assert (after.drive, after.point, after.at) == (grip.drive, grip.point, grip.at)


def test_a_hold_on_what_has_gone_is_none(arms):
    grip = take_hold(arms, SIDE, "sled", HOME, 120j)
    rest = tuple(drive for drive in arms.project.drives if drive.name != "ride")
    assert held_still(Mechanism(replace(arms.project, drives=rest)), grip) is None
