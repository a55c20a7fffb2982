"""Where are the pins of a section, and what stands about them? Their marks on a template, and their list."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from core.drawing.dimension import LETTER_WIDTH
from core.drawing.display_list import DisplayList, Item, Stroke, Text
from core.drawing.lines import UNIT_ON_PAPER
from core.drawing.path import circle, polyline
from core.drawing.sheet import Sheet
from core.handover.fonts import Fonts
from core.model.joints import Bolted, PinSlot, Slide
from core.model.names import JointName
from core.model.project import Project, Section
from core.model.shapes import Bore, Disc, Point
from core.sentences.numbers import Translator, plain, rounded
from core.tolerances import DEFAULT_TOLERANCES, Tolerances

CROSS = 4.0
"""Half the length of a pin's cross, mm."""

_NUMBER_SIZE, _TEXT, _HEAD = 12.0, 11.0, 16.0
_ROOM = 3.2
"""What a pin's number needs, mm across."""

_AWAY = (4.4, 6.4, 9.0, 12.5, 17.0)
_ROW = 5.6
_EDGE = 10.0


@dataclass(frozen=True, slots=True)
class Pin:
    """A joint's pin as drawn, mm. round: (body, diameter mm) of the discs and bores of its two bodies that stand about it."""

    number: int
    joint: JointName
    what: str
    at: Point
    round: tuple[tuple[str, float], ...]


def pins_of(section: Section, *, tolerances: Tolerances = DEFAULT_TOLERANCES) -> tuple[Pin, ...]:
    """The pins of all joints but bolted ones, numbered in the file's order."""
    bodies = {body.name: body for body in section.bodies}
    pins: list[Pin] = []
    for joint in section.joints:
        if isinstance(joint, Bolted):
            continue
        about = tuple(
            (body, 2.0 * shape.radius)
            for body in joint.between
            for shape in bodies[body].shapes
            if isinstance(shape, Disc | Bore) and math.dist(shape.centre, joint.at) <= tolerances.on_outline
        )
        what = "slide" if isinstance(joint, Slide) else "pin in slot" if isinstance(joint, PinSlot) else "pivot"
        pins.append(Pin(len(pins) + 1, joint.name, what, joint.at, about))
    return tuple(pins)


def pin_marks(pins: Sequence[Pin], *, words: Sequence[Text] = ()) -> DisplayList:
    """A cross and a small circle on each pin, and its number beside it, clear of other pins, numbers and `words`; 1:1, section mm."""
    places = dict.fromkeys(pin.at for pin in pins)
    items: list[Item] = []
    for x, y in places:
        cross = (polyline((x - CROSS, y), (x + CROSS, y)), polyline((x, y - CROSS), (x, y + CROSS)))
        items += [Stroke(cross, "narrow"), Stroke((circle((x, y), 1.5),), "narrow")]
    taken = [place for text in words for place in _along(text)]
    for at in places:
        told = ", ".join(str(pin.number) for pin in pins if pin.at == at)
        spot = _free_spot(at, [place for place in places if place != at], taken, width=_ROOM + 1.8 * (len(told) - 1))
        taken.append(spot)
        items.append(Stroke((polyline(_toward(at, spot, 2.0), _toward(spot, at, 2.2)),), "narrow"))
        items.append(Text(spot, told, _NUMBER_SIZE, "ink", "middle", strong=True, halo=True))
    return tuple(items)


def _along(text: Text) -> list[Point]:
    """Places along a text, mm, which numbers keep clear of."""
    half = 0.5 * LETTER_WIDTH * text.size * UNIT_ON_PAPER * len(text.words)
    middle = text.at[0] + {"left": half, "middle": 0.0, "right": -half}[text.anchor]
    return [(middle + share * half, text.at[1]) for share in (-1.0, -0.6, -0.2, 0.2, 0.6, 1.0)]


def _free_spot(at: Point, others: Sequence[Point], taken: Sequence[Point], *, width: float) -> Point:
    """The nearest place about the pin for its number, with the most room where none is free."""
    best, most = at, -math.inf
    for away in _AWAY:
        for turn in (45, 135, 225, 315, 20, 70, 110, 160, 200, 250, 290, 340):
            angle = math.radians(turn)
            spot = (at[0] + away * math.cos(angle), at[1] + away * math.sin(angle))
            room = min(
                (math.dist(spot, other) - need for group, need in ((others, CROSS), (taken, width)) for other in group),
                default=math.inf,
            )
            if room >= width / 2.0:
                return spot
            if room > most:
                best, most = spot, room
    return best


def _toward(start: Point, end: Point, by: float) -> Point:
    length = math.dist(start, end)
    share = min(1.0, by / length) if length else 0.0
    return (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))


def pin_pages(
    pins: Sequence[Pin], project: Project, section: Section, *, page: tuple[float, float], fonts: Fonts, tr: Translator = plain
) -> tuple[Sheet, ...]:
    """The list of pins as pages: number, joint, kind, place, and the diameters about it; none where there are no pins."""
    columns = (_EDGE, 20.0, 78.0, 100.0, 130.0)
    heads = (tr("No."), tr("joint"), tr("kind"), tr("place x, y in mm"), tr("round it, diameter in mm"))
    lines = [line for pin in pins for line in _lines(pin, columns, page[0], fonts, tr)]
    top = page[1] - _EDGE
    first = top - 24.0
    room = int((first - _EDGE - 12.0) // _ROW)
    sheets = []
    for start in range(0, len(lines), room):
        title = fonts.cut(
            f"{project.name} · {section.name}: {tr('pins as drawn')}", size=_HEAD * UNIT_ON_PAPER, width=page[0] - 2.0 * _EDGE, strong=True
        )
        items: list[Item] = [Text((_EDGE, top - 4.0), title, _HEAD, "ink", "left", strong=True)]
        items += [Text((x, first + 7.0), head, _TEXT, "quiet", "left") for x, head in zip(columns, heads, strict=True)]
        items.append(Stroke((polyline((_EDGE, first + 3.5), (page[0] - _EDGE, first + 3.5)),), "wide"))
        for row, line in enumerate(lines[start : start + room]):
            y = first - _ROW * row
            items += [Text((x, y), words, _TEXT, "ink", "left") for x, words in zip(columns, line, strict=True) if words]
        sheets.append(Sheet(*page, tuple(items)))
    return tuple(sheets)


def _lines(pin: Pin, columns: Sequence[float], width: float, fonts: Fonts, tr: Translator) -> list[tuple[str, ...]]:
    """The rows of one pin: several where much stands about it."""

    def fitted(words: str, column: int) -> str:
        end = columns[column + 1] if column + 1 < len(columns) else width - _EDGE
        return fonts.cut(words, size=_TEXT * UNIT_ON_PAPER, width=end - columns[column] - 2.0)

    place = f"{rounded(pin.at[0], places=2)}, {rounded(pin.at[1], places=2)}"
    about = [f"{body} Ø {rounded(diameter, places=2)}" for body, diameter in pin.round] or [tr("nothing round")]
    first = (str(pin.number), fitted(pin.joint, 1), tr(pin.what), place, fitted(about[0], 4))
    return [first, *(("", "", "", "", fitted(words, 4)) for words in about[1:])]
