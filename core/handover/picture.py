"""A picture of a section at a pose: a drawing sheet cut to the section's size, with a title, the pose, and a scale bar."""

import math
from collections.abc import Collection

from core.drawing.display_list import DisplayList, Stroke, Text
from core.drawing.extent import Extent, joined_extent
from core.drawing.gap_mark import GapMark
from core.drawing.lines import UNIT_ON_PAPER
from core.drawing.path import polyline
from core.drawing.section import draw_section
from core.drawing.sheet import Sheet, placed, rectangle
from core.handover.fonts import Fonts
from core.handover.posed import Values, posed_section
from core.handover.scale import bar_length, scale_bar, scale_that_fits, scale_words
from core.model.names import BodyName
from core.model.project import Project, Section
from core.sentences.numbers import Translator, at_list, opening, plain

WIDEST, HIGHEST = 260.0, 170.0
"""The most that the section itself takes on its sheet, mm: an A4 page with room for the title."""

NARROWEST = 150.0
"""The least width of a sheet, mm: below it a title would be cut."""

EDGE, AIR = 5.0, 10.0
"""From the sheet's edge to its frame, and from the frame to the section, mm: joint symbols stand a little beyond bodies."""

_HEAD, _TEXT = 16.0, 12.0
_LINE = 4.6
_NOT_REACHED = "A loop cannot be followed to this pose; its bodies stand where they last came to."


def picture_sheet(
    project: Project,
    section: Section,
    values: Values,
    *,
    fonts: Fonts,
    mark: GapMark | None = None,
    selected: Collection[BodyName] = (),
    tr: Translator = plain,
) -> Sheet:
    """The picture of `section` with the drives at `values` (those not named at home)."""
    posed = posed_section(project, section, values)
    reach = draw_section(section, posed.poses, unit=UNIT_ON_PAPER, names=False).extent
    if reach is None:
        return _empty(project, section, fonts)
    scale = scale_that_fits(reach, width=WIDEST, height=HIGHEST)
    drawing = draw_section(section, posed.poses, unit=UNIT_ON_PAPER / scale, mark=mark, selected=selected, called=True)
    reach = _with_words(reach, drawing.items, scale, fonts)
    lines = [pose_words(project, values, section=section, tr=tr), *([] if posed.reached else [tr(_NOT_REACHED)])]
    return _sheet(project, section, drawing.items, reach, scale=scale, lines=lines, fonts=fonts)


def pose_words(project: Project, values: Values, *, section: Section | None = None, tr: Translator = plain) -> str:
    """Where the drives stand: those away from home by name, "Fold 1 at 52 deg; all other drives at home."; of `section` alone, if given."""
    drives = [drive for drive in project.drives if section is None or any(move.section == section.name for move in drive.moves)]
    away = tuple((drive.name, values[drive.name]) for drive in drives if values.get(drive.name, drive.home) != drive.home)
    if not drives:
        return tr("As drawn; no drive moves this section.") if project.drives else tr("As drawn; this project has no drives.")
    if not away:
        return tr("All drives at home.")
    told = at_list(away, project, tr)
    rest = "" if len(away) == len(drives) else tr("; all other drives at home")
    return opening(told) + rest + "."


def _with_words(reach: Extent, items: DisplayList, scale: float, fonts: Fonts) -> Extent:
    """How far section and words reach together, mm of the section."""
    reaches: list[Extent | None] = [reach]
    for item in items:
        if isinstance(item, Text):
            size = item.size * UNIT_ON_PAPER / scale
            width = fonts.width(item.words, size=size, strong=item.strong)
            left = item.at[0] - {"left": 0.0, "middle": width / 2.0, "right": width}[item.anchor]
            reaches.append((left, item.at[1] - size / 2.0, left + width, item.at[1] + size / 2.0))
    return joined_extent(reaches) or reach


def _sheet(project: Project, section: Section, items: DisplayList, reach: Extent, *, scale: float, lines: list[str], fonts: Fonts) -> Sheet:
    wide, high = scale * (reach[2] - reach[0]), scale * (reach[3] - reach[1])
    width = max(NARROWEST, math.ceil(wide + 2.0 * (EDGE + AIR)))
    bar = scale * bar_length(scale)
    room = width - 2.0 * (EDGE + 4.0) - bar - 10.0
    told = [line for words in lines for line in fonts.wrapped(words, size=_TEXT * UNIT_ON_PAPER, width=room)]
    foot = 10.0 + _LINE * max(1, len(told)) + 3.0
    height = math.ceil(EDGE + foot + 2.0 * AIR + high + EDGE)
    at = ((width - wide) / 2.0 - scale * reach[0], (height + foot - high) / 2.0 - scale * reach[1])
    top = EDGE + foot
    title = fonts.cut(f"{project.name} · {section.name}", size=_HEAD * UNIT_ON_PAPER, width=room, strong=True)
    left, right = EDGE + 4.0, width - EDGE - 4.0
    frame = rectangle((EDGE, EDGE, width - EDGE, height - EDGE))
    block: DisplayList = (
        Stroke(frame, "wide"),
        Stroke((polyline((EDGE, top), (width - EDGE, top)),), "wide"),
        Text((left, top - 6.0), title, _HEAD, "ink", "left", strong=True),
        *(Text((left, top - 12.5 - _LINE * row), line, _TEXT, "ink", "left") for row, line in enumerate(told)),
        Text((right, top - 6.0), f"Scale {scale_words(scale)}", _TEXT, "ink", "right", strong=True),
        *scale_bar((right, EDGE + 2.6), scale=scale),
    )
    return Sheet(width, height, (*placed(items, scale=scale, at=at), *block))


def _empty(project: Project, section: Section, fonts: Fonts) -> Sheet:
    """A sheet with one sentence: nothing is drawn yet, or all is hidden."""
    words = "Nothing to show: no body of this section has a shape that is not hidden."
    title = fonts.cut(f"{project.name} · {section.name}", size=_HEAD * UNIT_ON_PAPER, width=NARROWEST - 20.0, strong=True)
    frame = Stroke(rectangle((EDGE, EDGE, NARROWEST - EDGE, 40.0 - EDGE)), "wide")
    return Sheet(
        NARROWEST,
        40.0,
        (frame, Text((10.0, 25.0), title, _HEAD, "ink", "left", strong=True), Text((10.0, 16.0), words, _TEXT, "ink", "left")),
    )
