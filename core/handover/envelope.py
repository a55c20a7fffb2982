"""An envelope as a drawing 1:1, to be laid on a part or read by another program; or the sentence why there is none."""

import math

from core.drawing.display_list import DisplayList, Fill, Stroke, Text, Tint
from core.drawing.lines import UNIT_ON_PAPER
from core.drawing.path import Path, polyline
from core.drawing.sheet import Sheet, placed
from core.handover.fonts import Fonts
from core.handover.scale import bar_length, scale_bar
from core.model.project import Project
from core.sentences.numbers import Translator, at_list, listed, plain, rounded
from core.sweep.envelope import Envelope, NotEnclosed

AIR = 10.0
"""From the region or the origin to the sheet's edge, mm."""

NARROWEST = 120.0
_CROSS = 6.0
_HEAD, _TEXT = 16.0, 12.0
_LINE = 4.6
_MEASURE = 0.85
"""Share of the width that words may take: a reader's own font may be wider than ours."""

_CAUSES = {
    "no-shapes": "{body} has no shapes, so it covers nothing. Draw its outline first.",
    "unheld": "{body} is held by no joint, so no bound on where it goes can be proved. Join it to the bay first.",
    "undriven": "No drive moves {joints}, so no bound on where {body} goes can be proved. Give it a drive first.",
    "loop": "The loop of {joints} cannot be enclosed from the drawn pose on: it stands at a dead centre there, or its rods conflict. "
    "No bound on where {body} goes is proved.",
    "lost": "No bound on where {body} goes is proved near {at}: a loop comes to its end or to a dead centre there. Shorten the travel.",
    "drives": "More than {limit} drives move {body}. Name those that are to run; the others then stand at home.",
    "boxes": "{limit} boxes of drive values were not enough for {body}. Allow a larger bound, or let fewer drives run.",
    "stopped": "Stopped before the envelope of {body} was complete.",
}


def not_enclosed_sentence(found: NotEnclosed, project: Project, tr: Translator = plain) -> str:
    """Why there is no envelope, and what to do about it."""
    return tr(_CAUSES[found.cause]).format(
        body=found.body, joints=listed(found.joints, tr), at=at_list(found.at, project, tr) or tr("the drawn pose"), limit=found.limit
    )


def envelope_words(found: Envelope, project: Project, tr: Translator = plain) -> tuple[str, ...]:
    """What the region is, in sentences: whose, over what, and how exact."""
    travel = {drive.name: drive for drive in project.drives}
    runs = [
        tr("{drive} from {start:g} to {end:g} {unit}").format(
            drive=name, start=travel[name].start, end=travel[name].end, unit=travel[name].unit
        )
        for name in found.drives
    ]
    still = "" if len(runs) == len(project.drives) else tr("; every other drive stands at home")
    template = (
        "Covered by {bodies} while these run, in every combination: {runs}{still}."
        if len(runs) > 1
        else "Covered by {bodies} while this runs: {runs}{still}."
    )
    template = template if runs else "Covered by {bodies} with every drive at home."
    bound = rounded(found.bound, places=3, to="up")
    told = [
        tr(template).format(bodies=listed(found.bodies, tr), runs=listed(runs, tr), still=still),
        tr("Outer, proved: no point of the drawn shapes leaves it; at most {bound} mm larger than what is covered.").format(bound=bound),
    ]
    if found.grow:
        told.append(tr("Grown by {grow:g} mm all round.").format(grow=found.grow))
    if found.tolerance:
        told.append(tr("The outline tolerance, up to {tolerance:g} mm, is included.").format(tolerance=found.tolerance))
    if found.with_play:
        told.append(tr("The play of joints on closed loops is included."))
    return tuple(told)


def envelope_path(found: Envelope) -> Path:
    """The region's outline in the section's coordinates: outer runs counter-clockwise, holes clockwise."""
    return tuple(polyline(*ring, closed=True) for ring in found.rings)


def envelope_sheet(found: Envelope, project: Project, *, fonts: Fonts, tr: Translator = plain) -> Sheet:
    """The region 1:1 in mm, the section's origin as a cross, and what it is in words below.

    The outline stands under the name `envelope`, the cross under `origin`, so that another program can pick them out.
    """
    low_x, low_y, high_x, high_y = found.region.bounds
    low_x, low_y, high_x, high_y = min(low_x, 0.0), min(low_y, 0.0), max(high_x, 0.0), max(high_y, 0.0)
    width = max(NARROWEST, math.ceil(high_x - low_x + 2.0 * AIR))
    lines = [
        line
        for words in (*envelope_words(found, project, tr), tr("Scale 1 : 1. The cross is the section's origin."))
        for line in fonts.wrapped(words, size=_TEXT * UNIT_ON_PAPER, width=_MEASURE * (width - 2.0 * AIR))
    ]
    foot = 30.0 + _LINE * len(lines)
    height = math.ceil(foot + high_y - low_y + 2.0 * AIR)
    at = ((width - high_x - low_x) / 2.0, foot + AIR - low_y)
    path = placed((Fill((envelope_path(found),), Tint(None, 0)), Stroke(envelope_path(found), "narrow")), at=at)
    title = fonts.cut(
        f"{project.name} · {found.section}: {tr('envelope')}", size=_HEAD * UNIT_ON_PAPER, width=width - 2.0 * AIR, strong=True
    )
    top = foot - 6.0
    words: DisplayList = (
        Text((AIR, top), title, _HEAD, "ink", "left", strong=True),
        *(Text((AIR, top - 6.5 - _LINE * row), line, _TEXT, "ink", "left") for row, line in enumerate(lines)),
        *scale_bar((AIR + bar_length(1.0), AIR - 2.0), scale=1.0),
    )
    return Sheet(width, height, words, (("envelope", path), ("origin", _origin(at))))


def _origin(at: tuple[float, float]) -> DisplayList:
    x, y = at
    cross = (polyline((x - _CROSS, y), (x + _CROSS, y)), polyline((x, y - _CROSS), (x, y + _CROSS)))
    return (Stroke(cross, "narrow"), Text((x + 1.5, y - 2.4), "(0, 0)", 11.0, "ink", "left", halo=True))
