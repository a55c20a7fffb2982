"""A sheet as a PNG picture, drawn four times too large and made smaller, strip by strip so that large sheets need little memory."""

import io
import math
from collections.abc import Iterable, Iterator
from functools import lru_cache
from itertools import pairwise
from pathlib import Path as FilePath

from PIL import Image, ImageChops, ImageDraw, ImageFont
from PIL.PngImagePlugin import PngInfo

from core.drawing.display_list import Fill, Group, Item, Stroke, Text
from core.drawing.extent import extent
from core.drawing.lines import LINES, UNIT_ON_PAPER
from core.drawing.path import Arc, Path, Run
from core.drawing.sheet import Sheet
from core.handover.fonts import Fonts
from core.handover.paper import PAPER, Look
from core.handover.svg import HALO
from core.model.shapes import Point

FINER = 4
"""How many times larger than the picture it is drawn."""

STRIP = 256
"""Height of a strip, pixels of the picture."""

PIXELS_PER_MM = 8.0
"""About 200 to the inch."""

_CHORD = 0.25
"""How far a straight edge may leave its arc, pixels of the large drawing."""


def png_file(sheet: Sheet, *, fonts: Fonts, title: str, pixels_per_mm: float = PIXELS_PER_MM, look: Look = PAPER) -> bytes:
    """The sheet as a PNG file, white where nothing is drawn; `pixels_per_mm` is told in the file, so that it prints at its size."""
    width, height = (max(1, round(side * pixels_per_mm)) for side in (sheet.width, sheet.height))
    picture = Image.new("RGB", (width, height), look.colour("board"))
    for top in range(0, height, STRIP):
        rows = min(STRIP, height - top)
        strip = _Strip((width * FINER, rows * FINER), sheet.height, top * FINER, pixels_per_mm * FINER, fonts, look)
        strip.draw(sheet.everything)
        picture.paste(strip.image.resize((width, rows), Image.Resampling.BOX), (0, top))
    told = PngInfo()
    told.add_itxt("Title", fonts.regular.shown(title))
    made = io.BytesIO()
    picture.save(made, "PNG", pnginfo=told, dpi=(pixels_per_mm * 25.4, pixels_per_mm * 25.4), optimize=False)
    return made.getvalue()


class _Strip:
    """Some rows of the large drawing; places outside it may be drawn to and are lost."""

    def __init__(self, size: tuple[int, int], height: float, top: int, scale: float, fonts: Fonts, look: Look) -> None:
        self.image = Image.new("RGB", size, look.colour("board"))
        self._height, self._top, self._scale, self._fonts, self._look = height, top, scale, fonts, look

    def draw(self, items: Iterable[Item]) -> None:
        """Draw the items in order."""
        for item in items:
            match item:
                case Fill():
                    self._fill(item)
                case Stroke():
                    self._stroke(item)
                case Text():
                    self._words(item)
                case Group():
                    self._clipped(item)

    def _place(self, point: Point) -> Point:
        return point[0] * self._scale, (self._height - point[1]) * self._scale - self._top

    def _misses(self, path: Path, margin: float) -> bool:
        """Whether the path lies above or below this strip; margin in mm."""
        reach = extent(path)
        if reach is None:
            return True
        return self._place((0.0, reach[1] - margin))[1] < 0.0 or self._place((0.0, reach[3] + margin))[1] > self.image.height

    def _mask(self, outlines: Iterable[Path]) -> Image.Image:
        """Where the union of closed outlines is: holes, which run clockwise, cut only out of their own outline."""
        whole = Image.new("1", self.image.size)
        for path in outlines:
            if self._misses(path, 0.0):
                continue
            own = Image.new("1", self.image.size)
            pen = ImageDraw.Draw(own)
            rings = [[self._place(point) for point in _points(run, self._scale)] for run in path if run.edges]
            for ring in sorted(rings, key=lambda ring: _area(ring) > 0.0):  # y turned over: outer rings have a negative area here
                if len(ring) > 1:
                    pen.polygon(ring, fill=_area(ring) < 0.0)
            whole = ImageChops.logical_or(whole, own)
        return whole

    def _fill(self, item: Fill) -> None:
        if not all(self._misses(path, 0.0) for path in item.outlines):
            self.image.paste(self._look.colour(item.paint), mask=self._mask(item.outlines))

    def _stroke(self, item: Stroke) -> None:
        form = LINES[item.line]
        width = form.width * UNIT_ON_PAPER
        pen = ImageDraw.Draw(self.image)
        colour = self._look.colour(item.paint)
        for run in item.path:
            if self._misses((run,), width):
                continue
            points = _points(run, self._scale)
            if run.closed and points:
                points.append(points[0])
            dashes = _dashes(points, [width * part for part in form.dashes]) if form.dashes else (points,)
            for dash in dashes:
                self._line(pen, [self._place(point) for point in dash], width * self._scale, colour, ends=not form.dashes)

    @staticmethod
    def _line(pen: ImageDraw.ImageDraw, points: list[Point], width: float, colour: str, *, ends: bool) -> None:
        """A line with round joins; each piece is a rectangle of the exact width, which the library's own lines are not."""
        half = width / 2.0
        for (ax, ay), (bx, by) in pairwise(points):
            length = math.hypot(bx - ax, by - ay)
            if length > 0.0:
                dx, dy = -half * (by - ay) / length, half * (bx - ax) / length
                pen.polygon([(ax + dx, ay + dy), (bx + dx, by + dy), (bx - dx, by - dy), (ax - dx, ay - dy)], fill=colour)
        for x, y in points if ends else points[1:-1]:
            pen.ellipse((x - half, y - half, x + half, y + half), fill=colour)

    def _words(self, item: Text) -> None:
        size = item.size * UNIT_ON_PAPER
        at_x, at_y = self._place(item.at)
        large = size * self._scale
        if not -2.0 * large < at_y < self.image.height + 2.0 * large:
            return
        face = self._fonts.face(strong=item.strong)
        words, font = face.shown(item.words), _font(face.file, large)
        width = large * face.width(words)
        left = at_x - {"left": 0.0, "middle": width / 2.0, "right": width}[item.anchor]
        base = at_y + large * face.cap_height / 2.0
        pen = ImageDraw.Draw(self.image)
        if item.halo:
            around = HALO / 2.0 * UNIT_ON_PAPER * self._scale
            pen.text(
                (left, base), words, self._look.colour("board"), font, "ls", stroke_width=around, stroke_fill=self._look.colour("board")
            )
        pen.text((left, base), words, self._look.colour(item.paint), font, "ls")

    def _clipped(self, item: Group) -> None:
        if self._misses(item.clip, 0.0):
            return
        before = self.image.copy()
        self.draw(item.items)
        before.paste(self.image, mask=self._mask((item.clip,)))
        self.image = before


@lru_cache(maxsize=64)
def _font(file: FilePath, size: float) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(str(file), size, layout_engine=ImageFont.Layout.BASIC)


def _points(run: Run, scale: float) -> list[Point]:
    """The corners of a run, its arcs in chords; the last corner of a closed run, which is its first, left out."""
    made: list[Point] = []
    for edge in run.edges:
        count = 1
        if isinstance(edge, Arc) and edge.radius > 0.0:
            bend = 2.0 * math.acos(max(0.0, 1.0 - _CHORD / (edge.radius * scale)))
            count = max(1, math.ceil(abs(edge.sweep) / bend))
        made += [edge.point(number / count) for number in range(count)]
    if run.edges and not run.closed:
        made.append(run.edges[-1].end)
    return made


def _area(ring: list[Point]) -> float:
    return sum(ax * by - bx * ay for (ax, ay), (bx, by) in zip(ring, (*ring[1:], *ring[:1]), strict=True)) / 2.0


def _dashes(points: list[Point], pattern: list[float]) -> Iterator[list[Point]]:
    """The drawn parts of a line; `pattern` is dash, gap, dash, gap... in mm."""
    number, left = 0, pattern[0]
    dash: list[Point] = points[:1]
    for start, end in pairwise(points):
        length, done = math.dist(start, end), 0.0
        while length - done > left:
            done += left
            share = done / length
            cut = (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))
            if number % 2 == 0:
                yield [*dash, cut]
            number = (number + 1) % len(pattern)
            dash, left = [cut], pattern[number]
        left -= length - done
        if number % 2 == 0:
            dash.append(end)
    if number % 2 == 0 and len(dash) > 1:
        yield dash
