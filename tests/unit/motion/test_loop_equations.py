"""The equations of closed loops and how they change."""

import numpy as np
import pytest

from core.model.project import Project
from core.motion.linkage import linkage_of
from core.motion.loop_equations import Equations, derivative, drive_speeds, equations_of, residual, walked
from tests.mechanisms import BAY, drive, four_bar, mechanism, pin_slot, pivot, push_pull, slide, slider_crank


def slotted_lever() -> Project:
    joints = [
        pivot("crank pivot", BAY, "crank", 240j),
        pivot("lever pivot", BAY, "lever", 0j),
        pin_slot("slot", "crank", "lever", 120 + 240j, along=63),
    ]
    return mechanism(joints, drive("crank", ("crank pivot", 1)))


def ram() -> Project:
    """A loop that a slide closes, since the slide's drive and both pivots come first in the tree."""
    joints = [
        pivot("one", BAY, "arm", 0j),
        pivot("two", "rod", "lever", 40 + 0j),
        pivot("three", BAY, "lever", 40 - 30j),
        slide("ram", "arm", "rod", along=0),
    ]
    drives = [drive("arm", ("one", 1)), drive("lever", ("three", 1)), drive("rod", ("two", 1)), drive("ram", ("ram", 1), unit="mm")]
    return mechanism(joints, *drives)


CASES = {
    "four-bar": four_bar((40, 120, 80, 100), drawn=40),
    "slider-crank": slider_crank(50, 200, drawn=60),
    "two rods": push_pull(),
    "slotted lever": slotted_lever(),
    "driven slide that closes": ram(),
}


def equations(name: str) -> Equations:
    return equations_of(linkage_of(CASES[name]).sections[0].loops[0])


def missing(known: Equations, freedoms: np.ndarray) -> np.ndarray:
    return residual(known, walked(known, freedoms), np.zeros((len(known.drive_rows), freedoms.shape[1])))


@pytest.mark.parametrize("name", CASES)
def test_nothing_is_missing_as_drawn(name):
    known = equations(name)
    assert missing(known, np.zeros((len(known.steps), 1))) == pytest.approx(np.zeros((known.rows, 1)), abs=1e-12)


@pytest.mark.parametrize("name", CASES)
def test_the_derivative_is_that_of_central_differences(name):
    known = equations(name)
    at = np.random.default_rng(5).uniform(-0.4, 0.4, size=(len(known.steps), 4))
    every = tuple(range(len(known.steps)))
    told = derivative(known, walked(known, at), every)
    for column in every:
        step = np.zeros_like(at)
        step[column] = 1e-6
        rise = (missing(known, at + step) - missing(known, at - step)) / 2e-6
        assert told[:, column] == pytest.approx(rise, abs=1e-6)


def test_the_derivative_for_no_freedoms_is_empty():
    known = equations("four-bar")
    assert derivative(known, walked(known, np.zeros((3, 2))), ()).shape == (2, 0, 2)


def test_a_drive_on_a_closing_slide_asks_mm_of_its_row():
    known = equations("driven slide that closes")
    assert [known.loop.closing[0].kind, len(known.drive_rows)] == ["slide", 1]
    ram_drive = 3
    assert drive_speeds(known, ram_drive)[1].tolist() == [1.0]


def test_arms_are_the_farthest_pins_that_a_pivot_carries():
    known = equations("four-bar")
    # crank 40 carries its pin and the coupler's end; the coupler's pin and the follower's pivot are told apart by hand
    farthest = {step.joint: arm for step, arm in zip(known.steps, known.arms, strict=True)}
    assert max(farthest.values()) == known.size
    assert farthest["crank pivot"] >= 40
