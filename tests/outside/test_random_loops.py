"""Random closed loops against scipy.optimize.root, which knows the x, y and turn of every body and no tree. Lengths mm."""

import math

import numpy as np
import pytest
from scipy.optimize import root

from core.model.joints import Pivot, Slide
from core.model.project import Project
from core.motion.linkage import SectionLinkage, direction, linkage_of
from core.motion.pose import poses
from tests.mechanisms import BAY, drive, four_bar, mechanism, pin_slot, pivot, polar, slider_crank

SIZE = 50.0
STEPS = 24
NUMBER = 12


def random_four_bar(rng: np.random.Generator) -> Project:
    a, b, c, d = rng.uniform([15, 60, 50, 60], [30, 90, 80, 90])
    return four_bar((a, b, c, d), drawn=float(rng.uniform(-180, 180)), left=bool(rng.integers(2)))


def random_slider_crank(rng: np.random.Generator) -> Project:
    crank, rod, offset = rng.uniform([10, 70, -20], [30, 120, 20])
    return slider_crank(crank, rod, drawn=float(rng.uniform(-180, 180)), offset=offset, forward=bool(rng.integers(2)))


def random_five_bar(rng: np.random.Generator) -> Project:
    left, right = polar(rng.uniform(10, 25), rng.uniform(0, 180)), 60 + polar(rng.uniform(10, 25), rng.uniform(0, 180))
    tip = complex(*rng.uniform([15, 60], [45, 80]))
    joints = [
        pivot("left pivot", BAY, "left crank", 0j),
        pivot("left pin", "left crank", "left rod", left),
        pivot("tip", "left rod", "right rod", tip),
        pivot("right pin", "right rod", "right crank", right),
        pivot("right pivot", BAY, "right crank", 60 + 0j),
    ]
    return mechanism(joints, drive("left", ("left pivot", 1)), drive("right", ("right pivot", 1)))


def random_slotted_lever(rng: np.random.Generator) -> Project:
    pin = polar(rng.uniform(10, 30), rng.uniform(-180, 180))
    joints = [
        pivot("crank pivot", BAY, "crank", 0j),
        pivot("lever pivot", BAY, "lever", 60 + 0j),
        pin_slot("slot", "crank", "lever", pin, along=math.degrees(np.angle(60 - pin)) + rng.uniform(-8, 8)),
    ]
    return mechanism(joints, drive("crank", ("crank pivot", 1)))


MAKERS = [random_four_bar, random_slider_crank, random_five_bar, random_slotted_lever]


def missing(state: np.ndarray, project: Project, section: SectionLinkage, moved: np.ndarray) -> np.ndarray:
    """mm: what each joint asks of the two bodies that it joins, then what each drive asks of its pivot."""
    bodies = len(section.groups) - 1
    turn = np.append(0.0, state[:bodies] / SIZE)
    shift = np.append(0j, state[bodies : 2 * bodies] + 1j * state[2 * bodies :])
    driven = {move.joint: moved[index] * move.ratio for index, each in enumerate(project.drives) for move in each.moves}
    rows = []
    for joint in project.sections[0].joints:
        one, other = (section.group_of(body) for body in joint.between)
        at, line = complex(*joint.at), direction(joint)
        ends = [np.exp(1j * turn[group]) * at + shift[group] for group in (one, other)]
        gap = ends[1] - ends[0]
        slotted = one if isinstance(joint, Slide) else other
        across = (np.conj(np.exp(1j * turn[slotted]) * line) * gap).imag
        rows += [gap.real, gap.imag] if isinstance(joint, Pivot) else [across]
        if isinstance(joint, Slide):
            rows.append(SIZE * (turn[other] - turn[one]))
        if joint.name in driven:
            rows.append(SIZE * (turn[other] - turn[one] - math.radians(driven[joint.name])))
    return np.array(rows)


@pytest.mark.parametrize("maker", MAKERS)
def test_poses_on_the_way_to_random_drive_values(maker):
    rng = np.random.default_rng(11)
    seen = 0
    for _ in range(NUMBER):
        project = maker(rng)
        linkage = linkage_of(project)
        section = linkage.sections[0]
        bodies = len(section.groups) - 1
        goal = rng.uniform(-60, 60, size=len(project.drives))
        way = np.linspace(0, 1, STEPS + 1)[1:, None] * goal
        found = poses(section, linkage, linkage.drawn + way)
        state = np.zeros(3 * bodies)
        for row, moved in enumerate(way):
            if not found.reached[row]:
                break
            solved = root(missing, state, args=(project, section, moved), tol=1e-13)
            assert np.abs(solved.fun).max() < 1e-10
            state = solved.x
            assert found.turn[row, 1:] == pytest.approx(state[:bodies] / SIZE, abs=1e-9)
            assert np.abs(found.shift[row, 1:] - state[bodies : 2 * bodies] - 1j * state[2 * bodies :]).max() < 1e-7
            seen += 1
    assert seen > NUMBER * STEPS * 0.6
