"""What must be zero for a loop to be closed, and how it changes with each freedom on the loop."""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from core.motion.linkage import Closing, Floats, Loop, Ratios, Step

Complexes = npt.NDArray[np.complex128]
Item = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Equations:
    """The closure of a loop, ready to be evaluated for n positions at once.

    Freedoms are the K steps of the loop's tree, in order; rows are the equations of its closing joints: two lengths (x, y)
    for a pivot, a length across and an angle for a slide, a length across for a pin-in-slot, and one row more where a
    drive moves the closing joint. Angles are brought to mm by `size`.

    paths: per group of the loop the indices of the freedoms that carry it. carried: the same as (K,) float, 1 for those that do.
    turning: (K,) float, 1 for pivots. arms: (K,) mm, the farthest pin that a pivot
    carries, 1 for a slide; angles times arms are comparable lengths. size: mm, the largest arm. drives: those of the loop.
    speeds: for each of them what `drive_speeds` tells.
    """

    loop: Loop
    steps: tuple[Step, ...]
    paths: dict[int, Item]
    carried: dict[int, Floats]
    turning: Floats
    arms: Floats
    size: float
    passive: Item
    driven: Item
    drive_rows: Item
    rows: int
    drives: Item
    speeds: dict[int, tuple[Floats, Floats]]


def equations_of(loop: Loop) -> Equations:
    """The equations of `loop`. Pivots that carry no other pin get the arm of the largest one."""
    steps = tuple(step for steps in loop.steps for step in steps)
    paths: dict[int, Item] = {loop.root: ()}
    first = 0
    for group, parent, own in zip(loop.groups, loop.parents, loop.steps, strict=True):
        paths[group] = (*paths[parent], *range(first, first + len(own)))
        first += len(own)
    arms = _arms(loop, steps, paths)
    rows, drive_rows = 0, []
    for closing in loop.closing:
        rows += 1 if closing.kind == "pin_slot" else 2
        if closing.ratios:
            drive_rows.append(rows)
            rows += 1
    passive = tuple(index for index, step in enumerate(steps) if step.passive)
    driven = tuple(index for index, step in enumerate(steps) if not step.passive)
    size = float(arms.max(initial=0.0)) or 1.0
    return Equations(
        loop=loop,
        steps=steps,
        paths=paths,
        carried={group: np.array([float(index in path) for index in range(len(steps))]) for group, path in paths.items()},
        turning=np.array([float(step.kind == "pivot") for step in steps]),
        arms=arms,
        size=size,
        passive=passive,
        driven=driven,
        drive_rows=tuple(drive_rows),
        rows=rows,
        drives=loop.drives,
        speeds={drive: _speeds(loop, drive, size) for drive in loop.drives},
    )


def _arms(loop: Loop, steps: tuple[Step, ...], paths: dict[int, Item]) -> Floats:
    pins = [(paths[group], closing.at) for closing in loop.closing for group in closing.groups]
    pins += [(paths[group][: -len(own)], own[0].at) for group, own in zip(loop.groups, loop.steps, strict=True)]
    arms = np.ones(len(steps))
    for index, step in enumerate(steps):
        if step.kind == "pivot":
            arms[index] = max((abs(pin - step.at) for path, pin in pins if index in path), default=0.0)
    arms[arms == 0.0] = arms.max(initial=0.0) or 1.0
    return arms


def drive_speeds(equations: Equations, drive: int) -> tuple[Floats, Floats]:
    """(K,) and (C,) float: what one unit of a drive of the loop adds to each freedom (radians, mm) and to each driven closing row (mm)."""
    return equations.speeds[drive]


def _speeds(loop: Loop, drive: int, size: float) -> tuple[Floats, Floats]:

    def speed(kind: str, ratios: Ratios) -> float:
        ratio = sum(ratio for index, ratio in ratios if index == drive)
        return ratio if kind == "slide" else math.radians(ratio)

    steps = np.array([speed(step.kind, step.ratios) for own in loop.steps for step in own])
    driven = [closing for closing in loop.closing if closing.ratios]
    scale = [1.0 if closing.kind == "slide" else size for closing in driven]
    return steps, np.array([speed(closing.kind, closing.ratios) for closing in driven]) * scale


@dataclass(frozen=True, slots=True)
class Walked:
    """The groups of a loop at n positions, in the frame of its root.

    turn, turned, shift: per group radians (n,), exp(i turn) (n,), mm (n,). pins: per freedom the pin of a pivot, mm, or
    the direction of a slide, unit, both (n,) complex.
    """

    turn: dict[int, Floats]
    turned: dict[int, Complexes]
    shift: dict[int, Complexes]
    pins: list[Complexes]


def walked(equations: Equations, freedoms: Floats) -> Walked:
    """Walk the tree of the loop; `freedoms` is (K, n) float, radians and mm, 0 as drawn."""
    loop = equations.loop
    n = freedoms.shape[1]
    turn = {loop.root: np.zeros(n)}
    turned = {loop.root: np.ones(n, dtype=np.complex128)}
    shift = {loop.root: np.zeros(n, dtype=np.complex128)}
    pins: list[Complexes] = []
    for group, parent, own in zip(loop.groups, loop.parents, loop.steps, strict=True):
        angle, rotor, moved = turn[parent], turned[parent], shift[parent]
        for step in own:
            value = freedoms[len(pins)]
            if step.kind == "slide":
                pins.append(rotor * step.along)
                moved = moved + value * pins[-1]
            else:
                pins.append(rotor * step.at + moved)
                angle = angle + value
                rotor = np.exp(1j * angle)
                moved = pins[-1] - rotor * step.at
        turn[group], turned[group], shift[group] = angle, rotor, moved
    return Walked(turn, turned, shift, pins)


@dataclass(frozen=True, slots=True)
class Meeting:
    """How a closing joint is missed at n positions.

    offset: mm, complex, from the pin or rail that must be met to the one that must meet it. line: unit direction of the
    slide or slot in the loop's frame, 0 for a pivot. line_group: the group that the line turns with.
    """

    offset: Complexes
    line: Complexes
    line_group: int
    ends: tuple[Complexes, Complexes]


def meeting(closing: Closing, at: Walked) -> Meeting:
    """Where the two sides of a closing joint are: a pivot's pins, a slide's moved body on the rail, a pin in its slot."""
    reference, moved = closing.groups
    ends = (at.turned[reference] * closing.at + at.shift[reference], at.turned[moved] * closing.at + at.shift[moved])
    on_reference = closing.kind == "slide"
    line_group = reference if on_reference else moved
    offset = ends[1] - ends[0] if on_reference else ends[0] - ends[1]
    return Meeting(offset, at.turned[line_group] * closing.along, line_group, ends)


def residual(equations: Equations, at: Walked, drives: Floats) -> Floats:
    """(R, n) float, mm: what is missing to closure. `drives`: (C, n), mm, value of each driven closing joint (turns x size)."""
    rows: list[Floats] = []
    driven = iter(drives)
    for closing in equations.loop.closing:
        found = meeting(closing, at)
        angle = at.turn[closing.groups[1]] - at.turn[closing.groups[0]]
        if closing.kind == "pivot":
            rows += [found.offset.real, found.offset.imag]
        else:
            rows.append((found.line.conj() * found.offset).imag)
        if closing.kind == "slide":
            rows.append(angle * equations.size)
        if closing.ratios and closing.kind == "slide":
            rows.append((found.line.conj() * found.offset).real - next(driven))
        elif closing.ratios:
            rows.append(angle * equations.size - next(driven))
    return np.stack(rows)


def derivative(equations: Equations, at: Walked, columns: Item) -> Floats:
    """(R, k, n) float: change of the residual with the freedoms `columns`, mm per radian or mm per mm."""
    n = len(at.turn[equations.loop.root])
    change = np.zeros((equations.rows, len(columns), n))
    if not columns:
        return change
    pins = np.array([at.pins[column] for column in columns])
    row = 0
    for closing in equations.loop.closing:
        rows = _closing_change(equations, at, closing, pins, list(columns))
        change[row : row + len(rows)] = rows
        row += len(rows)
    return change


def _closing_change(equations: Equations, at: Walked, closing: Closing, pins: Complexes, columns: list[int]) -> list[Floats]:
    """The rows of one closing joint, each (k, n); `pins`: (k, n) of the freedoms `columns`."""
    found = meeting(closing, at)
    turning = equations.turning[columns, None]
    reference, moved = (equations.carried[group][columns, None] for group in closing.groups)
    swings = [np.where(turning > 0, 1j * (end - pins), pins) for end in found.ends]
    moves = reference * swings[0] - moved * swings[1]
    turns = np.broadcast_to(turning * (moved - reference) * equations.size, moves.shape)
    if closing.kind == "pivot":
        return [moves.real, moves.imag, turns] if closing.ratios else [moves.real, moves.imag]
    toward = -moves if closing.kind == "slide" else moves
    line_turns = turning * equations.carried[found.line_group][columns, None]
    seen, shown = found.line.conj() * found.offset, found.line.conj() * toward
    across = shown.imag - seen.real * line_turns
    if closing.kind == "pin_slot":
        return [across]
    return [across, turns, shown.real + seen.imag * line_turns] if closing.ratios else [across, turns]
