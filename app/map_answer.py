"""What `baysweep map` answers: as a dictionary for JSON, as a table for spreadsheets, and as a page with a small picture."""

from collections.abc import Iterator
from typing import TextIO

import numpy as np

from app.answer_page import Page
from core.handover.spreadsheet import Cell, csv_of
from core.model.project import Project
from core.sentences import plain
from core.sentences.numbers import counted, drive_value, unit_of
from core.sweep.drive_map import BREACH, CLEAR, RULED_OUT, UNDECIDED, DriveMap
from core.sweep.json_form import JsonObject, number

WORDS = ("clear", "ruled out", "undecided", "breach")
SIGNS = (".", "-", "?", "#")
"""How clear, ruled out, undecided and breach are drawn in letters."""

WIDEST = 64
TALLEST = 24


def map_as_json(project: Project, found: DriveMap) -> JsonObject:
    """The whole map: the edges of its cells, and for each value of the second drive (low to high) a row of states."""
    first, second = found.drives
    return {
        "project": project.name,
        "drives": [first, second],
        "others": found.others,
        "edges": {name: [number(float(edge)) for edge in edges] for name, edges in zip(found.drives, found.edges, strict=True)},
        "states": list(WORDS),
        "cells": [row.tolist() for row in found.state],
        "pairs": [{"section": section, "between": list(between)} for section, between in found.pairs],
        "pair": [row.tolist() for row in found.pair],
        "left_out": [{"section": section, "between": list(between)} for section, between in found.left_out],
        "work": {"boxes": found.work.boxes, "gap_queries": found.work.gap_queries},
    }


def map_as_csv(found: DriveMap) -> str:
    """One line a cell (RFC 4180): the ends of the cell on both drives, its state, and the pair that breaches there."""
    first, second = found.drives
    ends = [f"{name} {end}" for name in (first, second) for end in ("from", "to")]
    return csv_of((*ends, "state", "first", "second"), _cells(found))


def _cells(found: DriveMap) -> Iterator[tuple[Cell, ...]]:
    across, upward = (edges.tolist() for edges in found.edges)
    for place, (states, pairs) in enumerate(zip(found.state.tolist(), found.pair.tolist(), strict=True)):
        for column, (state, pair) in enumerate(zip(states, pairs, strict=True)):
            names = found.pairs[pair][1] if pair >= 0 else ("", "")
            yield (across[column], across[column + 1], upward[place], upward[place + 1], WORDS[state], *names)


def print_map(project: Project, found: DriveMap, *, to: TextIO) -> None:
    """A sentence, a picture in letters with the second drive upward, and the pairs that breach."""
    page = Page(to)
    first, second = found.drives
    page.sentence(_told(project, found), style="bold")
    page.gap()
    to.writelines(line + "\n" for line in _picture(found))
    ends = [
        drive_value(float(found.edges[side][place]), unit_of(project, name), tr=plain)
        for side, name in enumerate(found.drives)
        for place in (0, -1)
    ]
    page.gap()
    page.sentence(f"Across: {first} from {ends[0]} to {ends[1]}. Upward: {second} from {ends[2]} to {ends[3]}.")
    page.sentence(f"{SIGNS[CLEAR]} proved clear, {SIGNS[UNDECIDED]} undecided, {SIGNS[BREACH]} somewhere in it a pair comes too close.")
    if np.any(found.state == RULED_OUT):
        page.sentence(
            f"{SIGNS[RULED_OUT]} some of it or all is left out by your rules between drives: this answer says nothing about that."
        )
    for section, between in found.pairs:
        page.sentence(f"Too close somewhere: {between[0]} and {between[1]} ({section}).")
    for section, between in found.left_out:
        page.sentence(f"Not covered: {between[0]} and {between[1]} ({section}) cannot be swept, so that nothing is called clear.")


def _told(project: Project, found: DriveMap) -> str:
    others = "with the other drives at home" if found.others == "home" else "with the other drives anywhere in their travel"
    rules = counted(len(project.allowed_together), " that your rule allows", " that your {number} rules allow", plain)
    cells = found.state.size
    worst = int(np.count_nonzero(found.state == BREACH))
    clear = int(np.count_nonzero(found.state == CLEAR))
    ruled_out = int(np.count_nonzero(found.state == RULED_OUT))
    if worst == 0 and clear + ruled_out == cells:
        values = f"any values of {found.drives[0]} and {found.drives[1]}{rules if project.allowed_together else ''}"
        return f"Clear: nothing comes too close for {values}, {others}."
    share = counted(worst, "1 cell breaches", "{number} cells breach", plain)
    left = f"; {ruled_out} hold what your rules leave out" if ruled_out else ""
    return f"Over {found.drives[0]} and {found.drives[1]}, {others}: {share}, {clear} of {cells} are proved clear{left}."


def _picture(found: DriveMap) -> list[str]:
    """Lines of letters, the highest values of the second drive first; a letter tells the worst of the cells it covers."""
    height, width = found.state.shape
    down, across = -(-height // TALLEST), -(-width // WIDEST)
    lines = [
        "".join(SIGNS[int(found.state[low : low + down, left : left + across].max())] for left in range(0, width, across))
        for low in range(0, height, down)
    ]
    return lines[::-1]
