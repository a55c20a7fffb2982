"""The words of the two-drive map. Pure."""

import math

import numpy as np

from app.drive_map.plane import cell_at
from app.jobs.asker import Fault
from core.model.names import DriveName
from core.model.project import Project
from core.sentences.numbers import Translator, at_values, counted, degree_sign
from core.sweep.drive_map import BREACH, CLEAR, RULED_OUT, UNDECIDED, DriveMap


def place(
    found: DriveMap | None, values: tuple[float, float], drives: tuple[DriveName, DriveName], project: Project, tr: Translator
) -> str:
    """What is found where the two drives have these values: "fold 2 at 60° with twist 2 at 0°: proved clear."."""
    at = at_values(tuple(zip(drives, values, strict=True)), project, degree_sign(tr)).replace(" -", " \N{MINUS SIGN}")
    if found is None:
        return tr("{at}: not mapped yet.").format(at=at)
    cell = cell_at(found, values)
    state, pair = int(found.state[cell]), int(found.pair[cell])
    anywhere = found.others == "any"
    if state == BREACH:
        first, second = found.pairs[pair][1]
        told = tr("{at}: {first} and {second} come too close somewhere in this cell.")
        if anywhere:
            told = tr("{at}: {first} and {second} come too close in this cell for some values of the other drives.")
        return told.format(at=at, first=first, second=second)
    if state == RULED_OUT:
        return tr("{at}: your rules between drives leave out some of this cell or all; nothing is said of that.").format(at=at)
    if state == CLEAR:
        told = tr("{at}: proved clear, wherever the other drives are.") if anywhere else tr("{at}: proved clear.")
        if anywhere and project.allowed_together:
            told = tr("{at}: proved clear, wherever your rules let the other drives be.")
        return told.format(at=at)
    return tr("{at}: not decided.").format(at=at)


def standing(found: DriveMap | None, *, mapping: bool, tr: Translator) -> str:
    """How much of the map breaches and how much is undecided; while it is mapped, what is found so far, in few words."""
    if found is None:
        return tr("mapping") if mapping else ""
    if np.all(found.state <= RULED_OUT):
        if mapping:
            return tr("clear so far")
        return tr("all clear") if np.all(found.state == CLEAR) else tr("clear within your rules")
    breach, undecided = (bool(np.any(found.state == state)) for state in (BREACH, UNDECIDED))
    if mapping:
        return tr("{share} breach so far").format(share=_share(found, BREACH, tr)) if breach else tr("mapping")
    told = [tr("{share} breach").format(share=_share(found, BREACH, tr))] if breach else []
    told += [tr("{share} undecided").format(share=_share(found, UNDECIDED, tr))] if undecided else []
    return ", ".join(told)


def fault_sentence(fault: Fault, tr: Translator) -> str:
    """Why there is no map, and what to do."""
    if fault.what == "died":
        told = tr("Not mapped: the process that maps ended by itself ({detail}). Another has taken its place; show the map once more.")
    else:
        told = tr("Not mapped: the program met an error of its own ({detail}). Your file is unchanged; please report it with the file.")
    return told.format(detail=fault.detail)


def left_out(found: DriveMap | None, tr: Translator) -> str:
    """What the map leaves out; empty where it leaves out nothing."""
    if found is None or not found.left_out:
        return ""
    one = "1 pair cannot be swept, so nothing here is called clear."
    return counted(len(found.left_out), one, "{number} pairs cannot be swept, so nothing here is called clear.", tr).format(
        number=len(found.left_out)
    )


def _share(found: DriveMap, state: int, tr: Translator) -> str:
    """Rounded up, so that a little is never told as nothing, nor less than a hundredth as a whole one."""
    hundredths = 100.0 * float(np.mean(found.state == state))
    if hundredths < 1.0:
        return tr("under 1 %")
    return tr("{number} %").format(number=math.ceil(hundredths - 1e-9))
