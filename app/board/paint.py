"""How does a display list become ink on a Qt painter? Pens from line classes, colours from what a paint means."""

import math
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontMetricsF,
    QGuiApplication,
    QImage,
    QPainter,
    QPainterPath,
    QPen,
    QTextLayout,
    QTransform,
)

from app.theme import MEDIUM, REGULAR, Style, font
from core.drawing.display_list import Fill, Group, Heat, Item, Paint, Stroke, Text, Tint
from core.drawing.lines import LINES, LineClass
from core.drawing.path import Edge, Path, Segment

HALO = 3.0
"""Width of the board's colour round words with a halo, logical pixels."""

KEPT_WORDS = 512
"""Words in halos that are kept as pictures: some hundred names, at a size or two."""

KEPT_LETTERS, PARTS = 2048, 2
"""Halos of letters that are kept, each for so many places within a device pixel."""

COMBINING = "\N{COMBINING GRAVE ACCENT}"
"""Letters before this one, those of the Latin script, stand by themselves."""

WIDER = "\N{LINEAR B SYLLABLE B008 A}"
"""The first letter that Qt counts as two."""

_SMOOTH = 2.0
"""Logical pixels about an outline that smooth edges, and the pen of a line as wide as that, may touch."""

HEAT_OF_OVERLAP = 6
"""Index of the heat step whose colour an overlap has: deep."""


def colour(paint: Paint, style: Style) -> QColor:
    """The colour that `paint` means in this theme."""
    match paint:
        case Tint():
            return QColor(style.body_tint(paint.colour, order=paint.order))
        case Heat():
            return QColor(style.heat[paint.step])
        case "ink":
            return QColor(style.ink)
        case "quiet":
            return QColor(style.quiet_text)
        case "board":
            return QColor(style.board)
        case "breach":
            return QColor(style.breach_text)
        case "overlap":
            return QColor(style.heat[HEAT_OF_OVERLAP - 1])
        case "hatch":
            return QColor(style.hatch)
        case "rule":
            return QColor(style.rule)


def _device_pixels() -> float:
    """Device pixels to a logical one, of the densest screen: Qt counts the width of cosmetic pens in the former."""
    there = QGuiApplication.instance()
    return there.devicePixelRatio() if isinstance(there, QGuiApplication) else 1.0


def pen(line: LineClass, ink: QColor, *, cosmetic: bool = True) -> QPen:
    """The pen of a line class; cosmetic pens keep their width in logical pixels at every zoom and on every screen."""
    form = LINES[line]
    made = QPen(ink, form.width * (_device_pixels() if cosmetic else 1.0))
    made.setCosmetic(cosmetic)
    made.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    made.setCapStyle(Qt.PenCapStyle.FlatCap if form.dashes else Qt.PenCapStyle.RoundCap)
    if form.dashes:
        made.setDashPattern(list(form.dashes))
    return made


def qt_path(paths: Iterable[Path]) -> QPainterPath:
    """Paths in mm as one Qt path, filled by the winding rule. Qt writes arcs as curves good to 3e-4 of their radius."""
    made = QPainterPath()
    made.setFillRule(Qt.FillRule.WindingFill)
    for path in paths:
        for run in path:
            if run.edges:
                made.moveTo(*run.edges[0].start)
                for edge in run.edges:
                    _add(made, edge)
                if run.closed:
                    made.closeSubpath()
    return made


def _add(made: QPainterPath, edge: Edge) -> None:
    if isinstance(edge, Segment):
        made.lineTo(*edge.end)
        return
    (x, y), r = edge.centre, edge.radius
    # Qt counts angles towards -y; with y up the same numbers run the other way.
    made.arcTo(QRectF(x - r, y - r, 2.0 * r, 2.0 * r), -math.degrees(edge.first), -math.degrees(edge.sweep))


def draw_hatch(painter: QPainter, lines: Sequence[Sequence[Sequence[float]]], ink: QColor) -> None:
    """Draw hatch lines (n, 2, 2) in the painter's coordinates with a narrow pen."""
    painter.setPen(pen("narrow", ink))
    painter.drawLines([QLineF(ax, ay, bx, by) for (ax, ay), (bx, by) in lines])


def draw_items(painter: QPainter, items: Iterable[Item], style: Style, *, to_pixels: QTransform) -> None:
    """Draw a display list on a painter in logical pixels; `to_pixels` takes mm (y up) there."""
    for ink in inks(items, style, to_pixels):
        ink.draw(painter)


class Ink(NamedTuple):
    """An item ready for the painter. `reach`: the logical pixels that it may touch; None where it is not known ahead.

    Letters without a halo are smoothed for what lies under them, and look otherwise in a picture of their own.
    """

    draw: Callable[[QPainter], object]
    reach: QRectF | None


def inks(items: Iterable[Item], style: Style, to_pixels: QTransform) -> Iterator[Ink]:
    """What draws each item of a display list."""
    for item in items:
        match item:
            case Fill():
                yield _fill(to_pixels.map(qt_path(item.outlines)), QBrush(colour(item.paint, style)))
            case Stroke():
                yield _stroke(to_pixels.map(qt_path((item.path,))), pen(item.line, colour(item.paint, style)))
            case Text():
                yield _words(item, style, to_pixels.map(QPointF(*item.at)))
            case Group():
                yield _group(to_pixels.map(qt_path((item.clip,))), tuple(inks(item.items, style, to_pixels)))


def _fill(path: QPainterPath, brush: QBrush) -> Ink:
    return Ink(lambda painter: painter.fillPath(path, brush), _about(path.boundingRect(), _SMOOTH))


def _stroke(path: QPainterPath, line: QPen) -> Ink:
    return Ink(lambda painter: painter.strokePath(path, line), _about(path.boundingRect(), line.widthF() + _SMOOTH))


def _words(item: Text, style: Style, at: QPointF) -> Ink:
    wide, high = _measured(item.words, item.size, strong=item.strong)
    reach = QRectF(at.x() - wide, at.y() - high, 2.0 * wide, 2.0 * high)
    return Ink(lambda painter: draw_text(painter, item, style, at=at), _about(reach, item.size + HALO) if item.halo else None)


def _group(clip: QPainterPath, inside: Sequence[Ink]) -> Ink:
    def draw(painter: QPainter) -> None:
        painter.save()
        painter.setClipPath(clip, Qt.ClipOperation.IntersectClip)
        for each in inside:
            each.draw(painter)
        painter.restore()

    known = all(each.reach is not None for each in inside)
    return Ink(draw, _about(clip.boundingRect(), _SMOOTH) if known else None)


def _about(reach: QRectF, room: float) -> QRectF:
    return reach.adjusted(-room, -room, room, room)


def draw_text(painter: QPainter, text: Text, style: Style, *, at: QPointF) -> None:
    """Draw one line of words upright about `at`, logical pixels."""
    width, high = _measured(text.words, text.size, strong=text.strong)
    left = at.x() - {"left": 0.0, "middle": width / 2.0, "right": width}[text.anchor]
    base = QPointF(round(left), round(at.y() + high / 2.0))
    ink = colour(text.paint, style)
    if text.halo:
        ratio = painter.device().devicePixelRatio()
        image, into = _in_halo(text.words, text.size, ink.name(), style.board, ratio, strong=text.strong)
        # Between pixels the letters would blur.
        corner = QPointF(round((base.x() - into.x()) * ratio) / ratio, round((base.y() - into.y()) * ratio) / ratio)
        painter.drawImage(corner, image)
        return
    painter.setFont(_face(text.size, strong=text.strong))
    painter.setPen(ink)
    painter.drawText(base, text.words)


@lru_cache(maxsize=KEPT_WORDS)
def _measured(words: str, size: float, *, strong: bool) -> tuple[float, float]:
    """The width of words and the height of their capitals, logical pixels."""
    metrics = QFontMetricsF(_face(size, strong=strong))
    return metrics.horizontalAdvance(words), metrics.capHeight()


def _face(size: float, *, strong: bool) -> QFont:
    return font(round(size), weight=MEDIUM if strong else REGULAR)


@lru_cache(maxsize=KEPT_WORDS)
def _in_halo(words: str, size: float, ink: str, ground: str, ratio: float, *, strong: bool) -> tuple[QImage, QPointF]:
    """Words in their halo of `ground`, and where their base begins in the picture, logical pixels; kept, as they come at every frame."""
    face = _face(size, strong=strong)
    metrics = QFontMetricsF(face)
    reach = metrics.boundingRect(words)
    base = _base(reach, ratio)
    image = _clear(base.x() + reach.right() + HALO + 1.0, base.y() + reach.bottom() + HALO + 1.0, ratio)
    painter = QPainter(image)
    for begin, letters in _apart(words, face):
        at = math.floor((base.x() + begin) * ratio * PARTS)
        halo, into = _halo_of(letters, size, ground, ratio, at % PARTS, strong=strong)
        painter.drawImage(QPointF(at // PARTS / ratio, base.y()) - into, halo)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setFont(face)
    painter.setPen(QColor(ink))
    painter.drawText(base, words)
    painter.end()
    return image, base


def _apart(words: str, face: QFont) -> list[tuple[float, str]]:
    """Letters that look the same whatever stands beside them, each with where it begins, logical pixels.

    Those that join are told in one, as f and l in many faces; in scripts where most do, all of them.
    """
    if not all(letter < COMBINING or (letter < WIDER and unicodedata.category(letter)[0] in "NPSZ") for letter in words):
        return [(0.0, words)]
    layout = QTextLayout(words, face)
    layout.beginLayout()
    line = layout.createLine()
    layout.endLayout()
    runs = line.glyphRuns(-1, -1, QTextLayout.GlyphRunRetrievalFlag.RetrieveAll)
    begins = sorted((first, place.x()) for run in runs for first, place in zip(run.stringIndexes(), run.positions(), strict=True))
    return [(at, words[first:end]) for (first, at), (end, _) in pairwise([*begins, (len(words), 0.0)])]


@lru_cache(maxsize=KEPT_LETTERS)
def _halo_of(letters: str, size: float, ground: str, ratio: float, parts: int, *, strong: bool) -> tuple[QImage, QPointF]:
    """The halo of letters that begin `parts` off a whole device pixel, and where that pixel is in the picture, logical pixels.

    Kept, since it takes longer than most of a drawing, and the numbers that go along with a hand are of the same few figures.
    """
    outline = QPainterPath()
    outline.addText(QPointF(parts / PARTS / ratio, 0.0), _face(size, strong=strong), letters)
    reach = outline.boundingRect()
    base = _base(reach, ratio)
    image = _clear(base.x() + reach.right() + HALO + 1.0, base.y() + reach.bottom() + HALO + 1.0, ratio)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    halo = QPen(QColor(ground), HALO)
    halo.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.strokePath(outline.translated(base), halo)
    painter.end()
    return image, base


def _base(reach: QRectF, ratio: float) -> QPointF:
    """Where words that reach so far begin in a picture with room for their halo: on a whole device pixel, logical pixels."""
    left, top = HALO + 1.0 - reach.left(), HALO + 1.0 - reach.top()
    return QPointF(math.ceil(left * ratio) / ratio, math.ceil(top * ratio) / ratio)


def _clear(wide: float, high: float, ratio: float) -> QImage:
    """A picture of so many logical pixels with nothing on it."""
    image = QImage(math.ceil(wide * ratio), math.ceil(high * ratio), QImage.Format.Format_ARGB32_Premultiplied)
    image.setDevicePixelRatio(ratio)
    image.fill(Qt.GlobalColor.transparent)
    return image
