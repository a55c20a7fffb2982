"""What `baysweep pose` and `baysweep mobility` answer: as dictionaries for JSON, and as plain pages."""

import math
from collections.abc import Mapping
from typing import TextIO

import numpy as np

from app.answer_page import Page
from core.model.names import DriveName
from core.model.project import Project
from core.motion.findings import motion_findings
from core.motion.linkage import linkage_of
from core.motion.loop_states import LoopState, states_at
from core.motion.mobility import SectionMobility, mobility
from core.motion.pose import poses
from core.sentences import finding_sentence, mm, plain
from core.sentences.numbers import at_list, drive_value, listed, rounded
from core.sweep.at_pose import PoseGap, PoseGaps
from core.sweep.json_form import Json, JsonObject, number, values_as_json

_AS_LAST = "its bodies are told where the drives last came to on the straight way from the drawn pose."
_LOOP_SENTENCES: Mapping[str, str] = {
    "not-assembled": "{section}: the loop of {joints} cannot be assembled at this pose; " + _AS_LAST,
    "dead-centre": "{section}: the loop of {joints} comes to a dead centre on the way to this pose; " + _AS_LAST,
    "slot-end": "{section}: a pin is beyond the end of its slot at this pose, among {joints}.",
    "conflict": "{section}: {joints} miss each other by {misfit} mm at this pose; bodies stand where the squares of that are least.",
    "undriven": "{section}: no drive settles all of {joints}; what nothing settles is held as drawn.",
}
"""What the page says of a loop in each state; nothing of one that closes."""


def pose_as_json(project: Project, values: Mapping[DriveName, float]) -> JsonObject:
    """Where every body stands at `values` (all drives, drive units), the gap of every checked pair, the state of each loop.

    p' = R(turn) p + shift takes a drawn point to its place; turn in degrees counter-clockwise, shift in mm.
    """
    return {
        "at": values_as_json(tuple(values.items())),
        "bodies": [_body(*where) for where in _posed(project, values)],
        "gaps": [_gap(gap) for gap in PoseGaps(project).at(values)],
        "loops": [_loop(state) for state in _loop_states(project, values)],
    }


def print_pose(project: Project, values: Mapping[DriveName, float], *, to: TextIO) -> None:
    """The same as a page, tightest pairs first."""
    page = Page(to)
    where = at_list(tuple(values.items()), project, plain)
    page.sentence(f"With {where}:" if where else "As drawn; this project has no drives:", style="bold")
    page.gap()
    rows = [
        [body, f"{rounded(turn, places=3)} deg", f"({rounded(shift.real, places=3)}, {rounded(shift.imag, places=3)}) mm"]
        for _, body, turn, shift in _posed(project, values)
    ]
    page.table(["body", "turn", "shift"], rows, right=frozenset({1, 2}))
    for state in _loop_states(project, values):
        told = _LOOP_SENTENCES.get(state.code)
        if told:
            page.sentence(
                told.format(section=state.section, joints=listed(state.joints, plain), misfit=rounded(state.misfit, places=3, to="up"))
            )
        for left in state.left:
            low, high = drive_value(left.low, left.unit, to="down", tr=plain), drive_value(left.high, left.unit, to="up", tr=plain)
            told = "{section}: play leaves {bodies} anywhere from {low} to {high}, counted from where drawn."
            page.sentence(told.format(section=state.section, bodies=listed(left.bodies, plain), low=low, high=high))
    gaps = sorted(PoseGaps(project).at(values), key=lambda gap: gap.gap)
    if gaps:
        page.gap()
        page.table(["pair", "gap"], [[" and ".join(gap.between), _told(gap)] for gap in gaps], right=frozenset({1}))


def _posed(project: Project, values: Mapping[DriveName, float]) -> list[tuple[str, str, float, complex]]:
    """Section, body, turn in degrees and shift in mm of every body."""
    linkage = linkage_of(project)
    wanted = np.array([[values[name] for name in linkage.drives]], dtype=np.float64)
    found: list[tuple[str, str, float, complex]] = []
    for section in linkage.sections:
        posed = poses(section, linkage, wanted)
        for group, bodies in enumerate(section.groups):
            turn, shift = math.degrees(posed.turn[0, group]), complex(posed.shift[0, group])
            found += [(section.section, body, turn, shift) for body in bodies]
    return found


def _loop_states(project: Project, values: Mapping[DriveName, float]) -> list[LoopState]:
    """The state of every loop of the project."""
    linkage = linkage_of(project)
    wanted = np.array([values[name] for name in linkage.drives], dtype=np.float64)
    return [state for section in linkage.sections for state in states_at(section, linkage, wanted)]


def _loop(state: LoopState) -> JsonObject:
    return {"section": state.section, "joints": list(state.joints), "state": state.code, "misfit": number(state.misfit)}


def _body(section: str, body: str, turn: float, shift: complex) -> JsonObject:
    return {"section": section, "body": body, "turn": number(turn), "shift": [number(shift.real), number(shift.imag)]}


def _gap(gap: PoseGap) -> JsonObject:
    points: list[Json] = [[number(x), number(y)] for x, y in gap.points]
    return {"section": gap.section, "between": list(gap.between), "gap": number(gap.gap), "points": points}


def _told(gap: PoseGap) -> str:
    return mm(gap.gap, to="near" if gap.gap < 0 else "down")


def mobility_as_json(project: Project) -> JsonObject:
    """How many ways each section can move, by count and by rank; what is undriven, what is redundant."""
    return {"sections": [_mobility(section) for section in mobility(project, linkage_of(project))]}


def _mobility(section: SectionMobility) -> JsonObject:
    undriven: list[Json] = [{"joints": list(left.joints), "freedoms": left.freedoms, "lasting": left.lasting} for left in section.undriven]
    excess: list[Json] = [{"joints": list(over.joints), "redundant": over.redundant} for over in section.excess]
    return {
        "section": section.section,
        "count": section.count,
        "real": section.real,
        "rank": section.rank,
        "instantaneous": section.instantaneous,
        "drives": section.drives,
        "undriven": undriven,
        "redundant": section.redundant,
        "excess": excess,
    }


def print_mobility(project: Project, *, to: TextIO) -> None:
    """The same as a page."""
    page = Page(to)
    linkage = linkage_of(project)
    found = mobility(project, linkage)
    rows = [[each.section, *(str(n) for n in (each.count, each.real, each.rank, each.drives, each.redundant))] for each in found]
    page.table(["section", "count", "real", "rank", "drives", "redundant"], rows, right=frozenset(range(1, 6)))
    page.gap()
    page.sentence(
        "Count: freedoms by counting bodies and joints. Real: by the rank of what the joints forbid at the drawn pose. "
        "Redundant: what joints forbid more than once."
    )
    for finding in motion_findings(project, linkage):
        page.sentence(f"{finding.level}: {finding_sentence(finding, plain)}")
