"""A sheet as SVG 1.1: sizes in mm, text as text, the same bytes for the same sheet; readable without any script or style."""

import math
from collections.abc import Iterable, Iterator
from xml.sax.saxutils import escape, quoteattr

from core.drawing.display_list import Fill, Group, Item, Stroke, Text
from core.drawing.lines import LINES, UNIT_ON_PAPER
from core.drawing.path import Command, Path, commands
from core.drawing.sheet import Sheet
from core.handover.fonts import FALLBACKS, Fonts, sound
from core.handover.paper import PAPER, Look
from core.model.shapes import Point

HALO = 3.0
"""Width of the board's colour round words with a halo, drawing units."""

Written = dict[tuple[int, float], str]
"""What was written for paths, by the identity of a path and the height of its sheet."""

_PLACES = 4
"""Decimals of a coordinate: a tenth of a micrometre."""


def svg_file(sheet: Sheet, *, fonts: Fonts, title: str, description: str = "", look: Look = PAPER) -> str:
    """The sheet as a whole SVG file, to be written as UTF-8. Its `width` and `height` are in mm, one user unit is one mm.

    Words of the project are escaped; letters that XML cannot hold, or that would turn the direction of others, are
    replaced by a visible mark.
    """
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + svg_element(sheet, fonts=fonts, title=title, description=description, look=look)


def svg_element(
    sheet: Sheet, *, fonts: Fonts, title: str, description: str = "", look: Look = PAPER, prefix: str = "", written: Written | None = None
) -> str:
    """The sheet as an `<svg>` element for a page of HTML; `prefix` (letters, digits, hyphens) keeps identifiers apart on one page.

    written: of one page, whose sheets are all held until it is made; a path that stands on several of them is then written once.
    """
    width, height = number(sheet.width), number(sheet.height)
    writer = _Writer(sheet.height, fonts, look, prefix, {} if written is None else written)
    body = "\n".join(writer.sheet(sheet))
    told = f"\n<desc>{_text(description)}</desc>" if description else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}" '
        f'role="img" font-family={quoteattr(_families())} fill="none" stroke-linejoin="round">\n'
        f"<title>{_text(title)}</title>{told}\n"
        f"{body}\n</svg>\n"
    )


class _Writer:
    """Counts the clips of one file; the y of a sheet runs up, that of SVG down."""

    def __init__(self, height: float, fonts: Fonts, look: Look, prefix: str, written: Written) -> None:
        self._height, self._fonts, self._look, self._prefix, self._written = height, fonts, look, prefix, written
        self._clips = 0

    def sheet(self, sheet: Sheet) -> Iterator[str]:
        """The lines between the head and the end of the file."""
        yield f'<rect width="{number(sheet.width)}" height="{number(sheet.height)}" fill="{self._look.colour("board")}"/>'
        yield from self._items(sheet.items)
        for name, items in sheet.named:
            yield f"<g id={quoteattr(self._prefix + name)}>"
            yield from self._items(items)
            yield "</g>"

    def _items(self, items: Iterable[Item]) -> Iterator[str]:
        for item in items:
            match item:
                case Fill():
                    yield f'<path d="{self._data(item.outlines)}" fill="{self._look.colour(item.paint)}"/>'
                case Stroke():
                    yield self._stroke(item)
                case Text():
                    yield from self._words(item)
                case Group():
                    yield from self._clipped(item)

    def _stroke(self, item: Stroke) -> str:
        form = LINES[item.line]
        width = form.width * UNIT_ON_PAPER
        dashes = " ".join(number(width * part) for part in form.dashes)
        pattern = f' stroke-dasharray="{dashes}"' if dashes else ' stroke-linecap="round"'
        return f'<path d="{self._data((item.path,))}" stroke="{self._look.colour(item.paint)}" stroke-width="{number(width)}"{pattern}/>'

    def _words(self, item: Text) -> Iterator[str]:
        """The words; before them, where they have a halo, the same once more as a broad line in the board's colour."""
        words = sound(item.words)
        face, size = self._fonts.face(strong=item.strong), item.size * UNIT_ON_PAPER
        x, y = self._place(item.at)
        anchor = {"left": "start", "middle": "middle", "right": "end"}[item.anchor]
        base = f'x="{number(x)}" y="{number(y + size * face.cap_height / 2.0)}" font-size="{number(size)}" text-anchor="{anchor}"'
        weight = ' font-weight="500"' if item.strong else ""
        # In whatever face the reader has, the words keep the room that they were given.
        known = all(face.has(letter) for letter in words) and len(words) > 1
        length = f' textLength="{number(size * face.width(words))}" lengthAdjust="spacingAndGlyphs"' if known else ""
        told = f"{base}{weight}{length}"
        if item.halo:
            board = self._look.colour("board")
            yield f'<text {told} aria-hidden="true" stroke="{board}" stroke-width="{number(HALO * UNIT_ON_PAPER)}">{escape(words)}</text>'
        yield f'<text {told} fill="{self._look.colour(item.paint)}">{escape(words)}</text>'

    def _clipped(self, item: Group) -> Iterator[str]:
        self._clips += 1
        name = f"{self._prefix}clip-{self._clips}"
        yield f'<clipPath id="{name}"><path d="{self._data((item.clip,))}"/></clipPath>'
        yield f'<g clip-path="url(#{name})">'
        yield from self._items(item.items)
        yield "</g>"

    def _place(self, point: Point) -> Point:
        return point[0], self._height - point[1]

    def _data(self, paths: Iterable[Path]) -> str:
        return "".join(map(self._path, paths))

    def _path(self, path: Path) -> str:
        key = id(path), self._height
        if key not in self._written:
            self._written[key] = "".join(map(self._command, commands(path)))
        return self._written[key]

    def _command(self, command: Command) -> str:
        if command.kind == "close":
            return "Z"
        x, y = (number(value) for value in self._place(command.point))
        if command.kind == "arc":
            # y turned over: counter-clockwise here is SVG's sweep 0. Arcs come in parts of at most half a turn.
            r = number(command.radius)
            return f"A{r} {r} 0 0 {0 if command.sweep > 0.0 else 1} {x} {y}"
        return f"{'M' if command.kind == 'move' else 'L'}{x} {y}"


def number(value: float) -> str:
    """A length in mm with four decimals at most, never -0."""
    if not math.isfinite(value):
        raise ValueError(f"not a length: {value}")
    text = f"{value:.{_PLACES}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _text(words: str) -> str:
    return escape(sound(words))


def _families() -> str:
    return ", ".join(FALLBACKS)
