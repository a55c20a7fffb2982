"""Tubes of the passive freedoms of loops over boxes of drive values, held against closed-form and Newton solutions inside them."""

import cmath
import math

import numpy as np
import pytest

from core.clearance.enclosure import enclosing
from core.clearance.loop_rows import loop_rows
from core.motion.linkage import linkage_of
from core.tolerances import DEFAULT_TOLERANCES
from tests.mechanisms import circles_meet, four_bar, polar, slider_crank

LOOPS, BOXES, SAMPLES = 60, 12, 15
ROUNDING = 1e-9


def four_bar_turns(lengths, drawn, left, value):
    """Turns in radians since drawn of crank, coupler and follower; circles that meet."""
    a, b, c, d = lengths

    def headings(angle):
        crank = polar(a, angle)
        pin = circles_meet(crank, b, complex(d), c, left=left)
        return cmath.phase(crank), cmath.phase(pin - crank), cmath.phase(pin - d)

    return dict(zip(("crank", "coupler", "follower"), np.subtract(headings(value), headings(drawn)), strict=True))


def slider_places(crank, rod, drawn, offset, value):
    """Turns of crank and rod, and the shift of the block; Newton's method on the rod's length."""

    def block(angle):
        pin, x = polar(crank, angle), crank + rod
        for _ in range(60):
            missed = math.hypot(x - pin.real, offset - pin.imag) - rod
            x -= missed * math.hypot(x - pin.real, offset - pin.imag) / (x - pin.real)
        return pin, x

    (now, x), (before, first) = block(value), block(drawn)
    heading = cmath.phase(complex(x, offset) - now) - cmath.phase(complex(first, offset) - before)
    return {"crank": math.radians(value - drawn), "rod": heading, "block": 0.0}, x - first


def passive_of(section, loop, turns, shift=0.0):
    """The passive freedoms of the loop, in its order, from the turns of its bodies and the shift of the block along x."""
    found = []
    for group, parent, steps in zip(loop.groups, loop.parents, loop.steps, strict=True):
        for step in steps:
            if step.passive:
                (body,) = section.groups[group]
                carrier = section.groups[parent]
                turn = turns[body] - turns.get(carrier[0] if carrier else "", 0.0)
                found.append(turn if step.kind == "pivot" else shift * step.along.real)
    return np.array(found)


def held(project, solved, centres, halves, rng):
    """How many tubes are proved; asserts that every solution inside a proved box lies in its tube."""
    linkage = linkage_of(project)
    section = linkage.sections[0]
    (loop,) = section.loops
    ready = enclosing(loop_rows(loop), drawn=linkage.drawn[list(loop.drives)], tolerances=DEFAULT_TOLERANCES)
    if ready is None:
        return 0
    exact = [passive_of(section, loop, *solved(value)) for value in centres]
    guess = np.array(exact) + rng.normal(0, 1e-3, np.shape(exact))
    tube = ready.over(guess, centre=centres[:, None], half=halves[:, None])
    pivots = np.array([step.kind == "pivot" for step in loop.passive])
    for number in np.flatnonzero(tube.sure):
        for way in (-1, 1, *rng.uniform(-1, 1, SAMPLES)):
            moved = way * halves[number]
            off = passive_of(section, loop, *solved(centres[number] + moved)) - tube.centre[number] - tube.slope[number, :, 0] * moved
            off[pivots] = (off[pivots] + math.pi) % (2 * math.pi) - math.pi
            assert np.all(np.abs(off) <= tube.half[number] + ROUNDING)
    return int(np.count_nonzero(tube.sure))


@pytest.mark.parametrize("seed", range(4))
def test_four_bars_stay_in_their_tubes(seed):
    rng, sure, looked = np.random.default_rng(seed), 0, 0
    while looked < LOOPS * BOXES:
        lengths, drawn, left = tuple(rng.uniform(15, 80, 4)), float(rng.uniform(-180, 180)), bool(rng.random() < 0.5)
        halves = 10 ** rng.uniform(-2, 0.8, BOXES)
        centres = drawn + rng.uniform(-40, 40, BOXES)
        ends = np.linspace(drawn - 47, drawn + 47, 95)
        a, b, c, d = lengths
        diagonal = np.abs(a * np.exp(1j * np.radians(ends)) - d)
        if np.any(np.minimum(b + c - diagonal, diagonal - abs(b - c)) < 0.3):
            continue  # cannot be assembled all the way
        looked += BOXES
        sure += held(
            four_bar(lengths, drawn=drawn, left=left),
            lambda value, how=(lengths, drawn, left): (four_bar_turns(*how, value),),
            centres,
            halves,
            rng,
        )
    assert sure > looked // 2


@pytest.mark.parametrize("seed", range(2))
def test_slider_cranks_stay_in_their_tubes(seed):
    rng, sure, looked = np.random.default_rng(100 + seed), 0, 0
    while looked < LOOPS * BOXES:
        crank, rod, offset, drawn = rng.uniform(5, 20), rng.uniform(32, 90), rng.uniform(-8, 8), float(rng.uniform(0, 360))
        halves, centres = 10 ** rng.uniform(-2, 0.8, BOXES), drawn + rng.uniform(-100, 100, BOXES)
        looked += BOXES
        sure += held(
            slider_crank(crank, rod, drawn=drawn, offset=offset),
            lambda value, how=(crank, rod, drawn, offset): slider_places(*how, value),
            centres,
            halves,
            rng,
        )
    assert sure > looked // 2
