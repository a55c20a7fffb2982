"""Sheets as pages of a PDF file: true to size, its own fonts embedded, no date in it, the same bytes for the same sheets."""

import io
import math
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from functools import lru_cache
from itertools import pairwise

from reportlab import rl_config
from reportlab.lib.colors import Color, HexColor
from reportlab.pdfbase.pdfdoc import PDFDictionary, PDFInfo, PDFString
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from core.drawing.display_list import Fill, Group, Item, Paint, Stroke, Text
from core.drawing.lines import LINES, UNIT_ON_PAPER
from core.drawing.path import Arc, Path
from core.drawing.sheet import Sheet
from core.handover.fonts import Fonts, sound
from core.handover.paper import PAPER, Look
from core.handover.svg import HALO

POINTS_IN_MM = 72.0 / 25.4
"""A point of PDF is 1/72 inch."""

_BUTT, _ROUND = 0, 1
_FILLED, _OUTLINED = 0, 1
_NON_ZERO = 1
"""PDF's numbers for line caps, for how letters are painted, and reportlab's for the winding rule."""

Written = dict[int, list[str]]
"""The operators of paths, by the identity of each."""


def pdf_file(sheets: Sequence[Sheet], *, fonts: Fonts, title: str, look: Look = PAPER) -> bytes:
    """A PDF file with one page a sheet, each of the sheet's own size; at least one sheet is needed (ValueError)."""
    if not sheets:
        raise ValueError("a file of no pages")
    made = io.BytesIO()
    canvas = new_canvas(made, size=(sheets[0].width, sheets[0].height), fonts=fonts, title=title)
    for sheet in sheets:
        canvas.setPageSize((sheet.width * POINTS_IN_MM, sheet.height * POINTS_IN_MM))
        draw_sheet(canvas, sheet, fonts=fonts, look=look)
        canvas.showPage()
    with plain_streams():
        canvas.save()
    return made.getvalue()


@contextmanager
def plain_streams() -> Iterator[None]:
    """Inside it, pages are written to the file as they are compressed: in letters, as reportlab has it, they are a quarter longer.

    That takes as long as setting all tables of a report, and is only needed by what cannot carry bytes.
    """
    before, rl_config.useA85 = rl_config.useA85, 0
    try:
        yield
    finally:
        rl_config.useA85 = before


def new_canvas(file: io.BytesIO, *, size: tuple[float, float], fonts: Fonts, title: str) -> Canvas:
    """A canvas that writes the same bytes every time; `size` of the pages in mm."""
    name = fonts.regular.registered()
    width, height = size[0] * POINTS_IN_MM, size[1] * POINTS_IN_MM
    canvas = Canvas(file, pagesize=(width, height), invariant=1, pageCompression=1, initialFontName=name, lang="en-GB")
    without_date(canvas, title=title)
    return canvas


def without_date(canvas: Canvas, *, title: str) -> None:
    """Have the canvas tell title and program of its file, and no date."""
    info = _Told()
    info.title = sound(title)
    info.invariant = 1
    canvas._doc.info = info  # noqa: SLF001 - reportlab writes a made-up date otherwise


class _Told(PDFInfo):  # type: ignore[misc]
    """What the file says of itself."""

    def format(self, document: object) -> object:
        """The dictionary as bytes."""
        return PDFDictionary({"Title": PDFString(self.title), "Creator": PDFString("Baysweep")}).format(document)


def colour_of(look: Look, paint: Paint) -> Color:
    """A paint as reportlab's colour."""
    return _colour(look.colour(paint))


@lru_cache(maxsize=64)
def _colour(told: str) -> Color:
    # A colour told in letters is read anew for every stroke.
    return HexColor(told)


def draw_sheet(canvas: Canvas, sheet: Sheet, *, fonts: Fonts, look: Look = PAPER, written: Written | None = None) -> None:
    """Draw the sheet with its lower left corner at the canvas's origin, 1:1, whatever the canvas's unit of a point stands for.

    written: of one file, whose sheets are all held until it is made; the operators of a path that stands on several are made once.
    """
    canvas.saveState()
    canvas.scale(POINTS_IN_MM, POINTS_IN_MM)
    _draw(canvas, sheet.everything, fonts, look, {} if written is None else written)
    canvas.restoreState()


def _draw(canvas: Canvas, items: Iterable[Item], fonts: Fonts, look: Look, written: Written) -> None:
    for item in items:
        match item:
            case Fill():
                canvas.setFillColor(colour_of(look, item.paint))
                canvas.drawPath(_path(item.outlines, written), stroke=0, fill=1, fillMode=_NON_ZERO)
            case Stroke():
                _stroke(canvas, item, look, written)
            case Text():
                _words(canvas, item, fonts, look)
            case Group():
                canvas.saveState()
                canvas.clipPath(_path((item.clip,), written), stroke=0, fill=0)
                _draw(canvas, item.items, fonts, look, written)
                canvas.restoreState()


def _stroke(canvas: Canvas, item: Stroke, look: Look, written: Written) -> None:
    form = LINES[item.line]
    width = form.width * UNIT_ON_PAPER
    canvas.setStrokeColor(colour_of(look, item.paint))
    canvas.setLineWidth(width)
    canvas.setLineJoin(_ROUND)
    canvas.setLineCap(_BUTT if form.dashes else _ROUND)
    canvas.setDash([round(width * part, 6) for part in form.dashes])
    canvas.drawPath(_path((item.path,), written), stroke=1, fill=0)


def _words(canvas: Canvas, item: Text, fonts: Fonts, look: Look) -> None:
    face, size = fonts.face(strong=item.strong), item.size * UNIT_ON_PAPER
    words = face.shown(item.words)
    width = size * face.width(words)
    left = item.at[0] - {"left": 0.0, "middle": width / 2.0, "right": width}[item.anchor]
    base = item.at[1] - size * face.cap_height / 2.0
    if item.halo:
        canvas.saveState()
        canvas.setDash([])
        canvas.setLineJoin(_ROUND)
        canvas.setLineWidth(HALO * UNIT_ON_PAPER)
        canvas.setStrokeColor(colour_of(look, "board"))
        _line(canvas, face.registered(), size, (left, base), words, mode=_OUTLINED)
        canvas.restoreState()  # a text's mode outlives the text
    canvas.setFillColor(colour_of(look, item.paint))
    _line(canvas, face.registered(), size, (left, base), words, mode=_FILLED)


def _line(canvas: Canvas, face: str, size: float, at: tuple[float, float], words: str, *, mode: int) -> None:
    text = canvas.beginText(*at)
    text.setFont(face, size)
    text.setTextRenderMode(mode)
    text.textOut(words)
    canvas.drawText(text)


def _path(paths: Iterable[Path], written: Written) -> PDFPathObject:
    """The operators of a path, with places to a ten-thousandth of a mm; reportlab's own way takes half a report's time."""
    strokes: list[str] = []
    for path in paths:
        if id(path) not in written:
            written[id(path)] = list(_strokes(path))
        strokes += written[id(path)]
    return PDFPathObject(["n", *strokes] if strokes else [])


def _strokes(path: Path) -> Iterator[str]:
    for run in path:
        if not run.edges:
            continue
        yield "{:.4f} {:.4f} m".format(*run.edges[0].start)
        for edge in run.edges:
            if isinstance(edge, Arc):
                yield from _curves(edge)
            else:
                yield "{:.4f} {:.4f} l".format(*edge.end)
        if run.closed:
            yield "h"


def _curves(arc: Arc) -> Iterator[str]:
    """Curves of at most an eighth of a turn: off by less than 5e-6 of the radius."""
    count = max(1, math.ceil(abs(arc.sweep) / (math.pi / 4.0) - 1e-12))
    step = arc.sweep / count
    (cx, cy), pull = arc.centre, 4.0 / 3.0 * math.tan(step / 4.0)
    ends = [arc.point(number / count) for number in range(count + 1)]
    for (ax, ay), (bx, by) in pairwise(ends):
        pulled = (ax - pull * (ay - cy), ay + pull * (ax - cx), bx + pull * (by - cy), by - pull * (bx - cx))
        yield "{:.4f} {:.4f} {:.4f} {:.4f} {:.4f} {:.4f} c".format(*pulled, bx, by)
