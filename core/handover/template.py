"""A section 1:1 on as many A4 pages as it needs: to be cut out, laid edge on edge, and pricked through at the pins."""

import math
from dataclasses import dataclass

from core.drawing.display_list import DisplayList, Fill, Group, Item, Stroke, Text
from core.drawing.extent import Extent
from core.drawing.lines import UNIT_ON_PAPER
from core.drawing.path import polyline
from core.drawing.section import draw_section
from core.drawing.sheet import Sheet, placed, rectangle
from core.handover.fonts import Fonts
from core.handover.pins import pin_marks, pin_pages, pins_of
from core.handover.posed import posed_section
from core.model.project import Project, Section
from core.model.shapes import Point
from core.sentences.numbers import Translator, plain

A4 = (210.0, 297.0)
EDGE = 10.0
"""From the paper's edge to the drawing, mm: more than common printers leave white (common practice, no source)."""

OVERLAP = 12.0
"""How much of the drawing neighbouring sheets share, mm."""

FOOT = 30.0
"""Height of the strip below the drawing that holds the check rule and the key, mm."""

RULE = 100.0
"""Length of the check rule, mm."""

AIR = 8.0
"""White round the section, mm: labels of pins stand beyond it."""

_HEAD, _TEXT, _SMALL = 14.0, 12.0, 11.0


@dataclass(frozen=True, slots=True)
class Tiling:
    """How a drawing is cut up. window: width and height of what one sheet shows; corner: of the lowest left window, section mm."""

    page: tuple[float, float]
    window: tuple[float, float]
    columns: int
    rows: int
    corner: Point

    def place(self, column: int, row: int) -> Point:
        """Lower left corner of a window, section mm; column 0 is the left one, row 0 the lowest."""
        step_x, step_y = self.window[0] - OVERLAP, self.window[1] - OVERLAP
        return self.corner[0] + column * step_x, self.corner[1] + row * step_y


def tiling_of(reach: Extent) -> Tiling:
    """The fewest pages, upright ones where the number is the same, with the drawing in their middle."""
    upright, lying = (_tiling(reach, page) for page in (A4, (A4[1], A4[0])))
    return lying if lying.columns * lying.rows < upright.columns * upright.rows else upright


def _tiling(reach: Extent, page: tuple[float, float]) -> Tiling:
    window = (page[0] - 2.0 * EDGE, page[1] - 2.0 * EDGE - FOOT)
    sizes = (reach[2] - reach[0], reach[3] - reach[1])
    columns, rows = (max(1, math.ceil((size - OVERLAP) / (side - OVERLAP))) for size, side in zip(sizes, window, strict=True))
    spans = (columns * (window[0] - OVERLAP) + OVERLAP, rows * (window[1] - OVERLAP) + OVERLAP)
    corner = (reach[0] - (spans[0] - sizes[0]) / 2.0, reach[1] - (spans[1] - sizes[1]) / 2.0)
    return Tiling(page, window, columns, rows, corner)


def template_sheets(project: Project, section: Section, *, fonts: Fonts, tr: Translator = plain) -> tuple[Sheet, ...]:
    """The sheets, left to right and top row first, as they are laid out; after them the list of pins, where there are any."""
    drawn = {drive.name: drive.drawn_value for drive in project.drives}
    posed = posed_section(project, section, drawn)
    drawing = draw_section(section, posed.poses, unit=UNIT_ON_PAPER, symbols=False)
    pins = pins_of(section)
    reach = drawing.extent or (0.0, 0.0, 0.0, 0.0)
    xs, ys = [reach[0], reach[2], *(pin.at[0] for pin in pins)], [reach[1], reach[3], *(pin.at[1] for pin in pins)]
    reach = (min(xs) - AIR, min(ys) - AIR, max(xs) + AIR, max(ys) + AIR)
    tiling = tiling_of(reach)
    items = (*drawing.items, *pin_marks(pins, words=[item for item in drawing.items if isinstance(item, Text)]))
    places = [(column, row) for row in reversed(range(tiling.rows)) for column in range(tiling.columns)]
    lists = pin_pages(pins, project, section, page=A4, fonts=fonts, tr=tr)
    total = len(places) + len(lists)
    sheets = [
        _tile(items, tiling, place, number=number, total=total, name=f"{project.name} · {section.name}", fonts=fonts, tr=tr)
        for number, place in enumerate(places, 1)
    ]
    listed = [_numbered(sheet, len(places) + number, total, tr) for number, sheet in enumerate(lists, 1)]
    return (*sheets, *listed)


def column_letter(column: int) -> str:
    """A, B ... Z, AA, AB ... ."""
    letters = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def _tile(
    items: DisplayList,
    tiling: Tiling,
    place: tuple[int, int],
    *,
    number: int,
    total: int,
    name: str,
    fonts: Fonts,
    tr: Translator,
) -> Sheet:
    x, y = tiling.place(*place)
    at = (EDGE - x, EDGE + FOOT - y)
    window = (EDGE, EDGE + FOOT, EDGE + tiling.window[0], EDGE + FOOT + tiling.window[1])
    shown = Group(placed(items, at=at), rectangle(window))
    marks = _cut_marks(window, tiling, place)
    return Sheet(
        *tiling.page, (shown, *marks, *_foot(tiling, place, number, total, name, fonts, tr)), (("rule", check_rule((EDGE, EDGE))),)
    )


def _cut_marks(window: Extent, tiling: Tiling, place: tuple[int, int]) -> DisplayList:
    """The window's edge, narrow; where there is a neighbour a line in the middle of what is shared, along which both are cut."""
    low_x, low_y, high_x, high_y = window
    column, row = place
    half = OVERLAP / 2.0
    lines: list[Item] = [Stroke(rectangle(window), "narrow", "rule")]
    across = [low_x + half] * (column > 0) + [high_x - half] * (column < tiling.columns - 1)
    along = [low_y + half] * (row > 0) + [high_y - half] * (row < tiling.rows - 1)
    lines += [Stroke((polyline((x, low_y), (x, high_y)),), "ends", "quiet") for x in across]
    lines += [Stroke((polyline((low_x, y), (high_x, y)),), "ends", "quiet") for y in along]
    out = 4.0
    ticks = [polyline((x, edge), (x, edge + way * out)) for x in across for edge, way in ((high_y, 1.0), (low_y, -1.0))]
    ticks += [polyline((edge, y), (edge + way * out, y)) for y in along for edge, way in ((low_x, -1.0), (high_x, 1.0))]
    return (*lines, *([Stroke(tuple(ticks), "wide")] if ticks else []))


def check_rule(at: Point) -> DisplayList:
    """A rule 100 mm long from tick to tick, its left end at `at`, with ticks each 10 mm and what it is for."""
    x, y = at
    y += 6.0
    line = polyline((x, y), (x + RULE, y))
    ticks = [
        polyline((x + step, y), (x + step, y + (4.0 if step in (0.0, 50.0, 100.0) else 2.0))) for step in (10.0 * n for n in range(11))
    ]
    texts = [Text((x + step, y + 6.0), f"{step:g}", _SMALL, "ink", "left" if step == 0.0 else "middle") for step in (0.0, 50.0)]
    told = Text((x + RULE, y + 6.0), "100 mm", _SMALL, "ink", "right")
    return (Stroke((line, *ticks), "narrow"), *texts, told)


def _foot(tiling: Tiling, place: tuple[int, int], number: int, total: int, name: str, fonts: Fonts, tr: Translator) -> DisplayList:
    """Title, which sheet this is, what to check, and a map of the sheets with this one filled."""
    column, row = place
    left, top = EDGE, EDGE + FOOT
    key_width = _key_width(tiling)
    room = tiling.window[0] - key_width - 6.0
    told = tr("Sheet {number} of {total}").format(number=number, total=total)
    where = tr(", column {column}, row {row}").format(column=column_letter(column), row=tiling.rows - row)
    if tiling.columns * tiling.rows == 1:
        where = ""
    title = fonts.cut(f"{name} · {tr('template 1 : 1')}", size=_HEAD * UNIT_ON_PAPER, width=room, strong=True)
    how = tr("Print at 100 %, without fitting to the page. The rule must measure 100 mm.")
    if where:
        how = tr("Print at 100 %; the rule must measure 100 mm. Cut along the dash-dot lines and lay edge to edge.")
    return (
        Text((left, top - 7.5), title, _HEAD, "ink", "left", strong=True),
        Text((left, top - 12.5), told + where + ".", _TEXT, "ink", "left"),
        Text((left, EDGE + 1.0), how, _SMALL, "quiet", "left"),
        *_key(tiling, place, right=EDGE + tiling.window[0], top=top - 5.5),
    )


def _cell(tiling: Tiling) -> tuple[float, float]:
    scale = min(22.0 / (tiling.rows * tiling.page[1]), 50.0 / (tiling.columns * tiling.page[0]), 8.0 / tiling.page[1])
    return scale * tiling.page[0], scale * tiling.page[1]


def _key_width(tiling: Tiling) -> float:
    return 0.0 if tiling.columns * tiling.rows == 1 else tiling.columns * _cell(tiling)[0]


def _key(tiling: Tiling, place: tuple[int, int], *, right: float, top: float) -> DisplayList:
    """A small map of the sheets; none where there is one alone."""
    if tiling.columns * tiling.rows == 1:
        return ()
    wide, high = _cell(tiling)
    left, low = right - tiling.columns * wide, top - tiling.rows * high
    cells = {
        (column, row): rectangle((left + column * wide, low + row * high, left + (column + 1) * wide, low + (row + 1) * high))
        for column in range(tiling.columns)
        for row in range(tiling.rows)
    }
    return (Fill((cells[place],), "quiet"), Stroke(tuple(run for cell in cells.values() for run in cell), "narrow"))


def _numbered(sheet: Sheet, number: int, total: int, tr: Translator) -> Sheet:
    told = Text((EDGE, EDGE + 1.0), tr("Sheet {number} of {total}").format(number=number, total=total) + ".", _TEXT, "ink", "left")
    return Sheet(sheet.width, sheet.height, (*sheet.items, told), sheet.named)
