"""A report as A4 pages: heads of tables repeated, figures never cut, every page numbered, the same bytes every time."""

import io
from collections.abc import Iterator
from html import escape
from typing import Any

from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.pagesizes import A4
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    KeepTogether,
    ListFlowable,
    ListItem,
    PageTemplate,
    Paragraph,
    Spacer,
)
from reportlab.platypus import Table as PdfTable

from core.drawing.sheet import Sheet
from core.handover.fonts import Face, Fonts, with_units
from core.handover.page import Block, Figure, Heading, Points, Report, Table, Words
from core.handover.paper import PAPER, Look
from core.handover.pdf import POINTS_IN_MM, Written, colour_of, draw_sheet, plain_streams, without_date

_SIDE, _TOP, _BOTTOM = 20.0 * POINTS_IN_MM, 16.0 * POINTS_IN_MM, 18.0 * POINTS_IN_MM
_TEXT, _SMALL = 9.5, 8.5
_ROOM_FOR_A_HEADING = 30.0 * POINTS_IN_MM
"""A heading with less than this below it goes on the next page."""


def report_pdf(report: Report, *, fonts: Fonts, look: Look = PAPER) -> bytes:
    """The file. Letters that the face lacks are replaced by a visible mark."""
    made = io.BytesIO()
    setter = _Setter(fonts, look)
    document = BaseDocTemplate(
        made, pagesize=A4, leftMargin=_SIDE, rightMargin=_SIDE, topMargin=_TOP, bottomMargin=_BOTTOM, invariant=1, lang="en-GB"
    )
    frame = Frame(_SIDE, _BOTTOM, A4[0] - 2 * _SIDE, A4[1] - _TOP - _BOTTOM, leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0)
    document.addPageTemplates(PageTemplate("page", [frame]))

    def canvas(*given: Any, **options: Any) -> Canvas:  # noqa: ANN401 - whatever reportlab hands its canvas
        numbered = _Numbered(*given, **options)
        numbered.setter = setter
        numbered.foot = report.title
        without_date(numbered, title=report.title)
        return numbered

    with plain_streams():
        document.build(list(setter.story(report)), canvasmaker=canvas)
    return made.getvalue()


class _Numbered(Canvas):  # type: ignore[misc]
    """Holds every page back until their number is known, then writes "2 of 7" at its foot."""

    setter: "_Setter"
    foot: str

    def __init__(self, *given: Any, **options: Any) -> None:  # noqa: ANN401 - whatever reportlab hands its canvas
        super().__init__(*given, **options)
        self._held: list[dict[str, Any]] = []

    def showPage(self) -> None:  # noqa: N802 - reportlab's name
        self._held.append(dict(self.__dict__))
        self._startPage()

    def save(self) -> None:
        for number, page in enumerate(self._held, start=1):
            self.__dict__.update(page)
            self._write_foot(number, len(self._held))
            super().showPage()
        super().save()

    def _write_foot(self, number: int, count: int) -> None:
        fonts = self.setter.fonts
        self.setFont(fonts.regular.registered(), _SMALL)
        self.setFillColor(colour_of(self.setter.look, "quiet"))
        room = (A4[0] - 2 * _SIDE) * 0.8
        self.drawString(_SIDE, 10.0 * POINTS_IN_MM, fonts.regular.shown(fonts.cut(self.foot, size=_SMALL, width=room)))
        self.drawRightString(A4[0] - _SIDE, 10.0 * POINTS_IN_MM, f"Page {number} of {count}")


class _Drawn(Flowable):  # type: ignore[misc]
    """A sheet in the run of a page, 1:1 and made smaller only where it is wider or higher than the page."""

    def __init__(self, sheet: Sheet, setter: "_Setter") -> None:
        super().__init__()
        self._sheet, self._setter = sheet, setter
        self._share = 1.0

    def wrap(self, wide: float, high: float) -> tuple[float, float]:
        self._share = min(1.0, wide / (self._sheet.width * POINTS_IN_MM), (high or 1e9) / (self._sheet.height * POINTS_IN_MM))
        return self._share * self._sheet.width * POINTS_IN_MM, self._share * self._sheet.height * POINTS_IN_MM

    def draw(self) -> None:
        self.canv.scale(self._share, self._share)
        draw_sheet(self.canv, self._sheet, fonts=self._setter.fonts, look=self._setter.look, written=self._setter.written)


class _Setter:
    """Blocks to what reportlab sets on pages."""

    def __init__(self, fonts: Fonts, look: Look) -> None:
        self.fonts, self.look = fonts, look
        self.written: Written = {}
        plain, strong = fonts.regular.registered(), fonts.strong.registered()
        ink, quiet = colour_of(look, "ink"), colour_of(look, "quiet")
        body = ParagraphStyle("body", fontName=plain, fontSize=_TEXT, leading=13.5, textColor=ink, spaceAfter=5, splitLongWords=1)
        self._body = body
        self._quiet = ParagraphStyle("quiet", body, textColor=quiet, fontSize=_SMALL, leading=11.5)
        self._verdict = ParagraphStyle("verdict", body, fontName=strong, fontSize=12.5, leading=17, spaceBefore=8, spaceAfter=6)
        self._title = ParagraphStyle("title", body, fontName=strong, fontSize=19, leading=23, spaceAfter=3)
        self._part = ParagraphStyle("part", body, fontName=strong, fontSize=12.5, leading=16, spaceBefore=15, spaceAfter=5)
        self._inner = ParagraphStyle("inner", body, fontName=strong, fontSize=10.5, leading=14, spaceBefore=7, spaceAfter=2)
        self._cell = ParagraphStyle("cell", body, fontSize=_SMALL, leading=10.5, spaceAfter=0)
        self._cell_right = ParagraphStyle("cell right", self._cell, alignment=TA_RIGHT)
        self._head = ParagraphStyle("head", self._cell, fontName=strong)
        self._head_right = ParagraphStyle("head right", self._head, alignment=TA_RIGHT)

    def story(self, report: Report) -> Iterator[Flowable]:
        """All that is set, in order."""
        yield self._paragraph(report.title, self._title)
        if report.subtitle:
            yield self._paragraph(report.subtitle, self._quiet)
        yield Spacer(1, 4)
        yield self._table(Table(("", ""), report.about, ("left", "left"), (0.26, 0.74)), headed=False)
        heads: list[Flowable] = []
        for block in report.blocks:
            made = list(self._block(block))
            if isinstance(block, Heading):
                # The head of a part asks for room for the head of its first part too.
                heads = [CondPageBreak(2 * _ROOM_FOR_A_HEADING), *heads[1:], *made[1:]] if heads else made
            elif isinstance(block, Figure):
                # A figure takes most of a page: its heading must not stay behind on the one before.
                yield KeepTogether([*heads, *made])
                heads = []
            else:
                yield from (*heads, *made)
                heads = []
        yield from heads

    def _block(self, block: Block) -> Iterator[Flowable]:
        match block:
            case Heading():
                yield CondPageBreak(_ROOM_FOR_A_HEADING)
                yield self._paragraph(block.words, self._part if block.level == 1 else self._inner)
            case Words():
                yield self._paragraph(block.words, {"strong": self._verdict, "plain": self._body, "quiet": self._quiet}[block.weight])
            case Points():
                items = [ListItem(self._paragraph(words, self._body), leftIndent=10) for words in block.sentences]
                yield ListFlowable(
                    items, bulletType="bullet", start="•", bulletFontName=self._body.fontName, bulletFontSize=8, leftIndent=10
                )
            case Table():
                yield self._table(block)
                if block.caption:
                    yield self._paragraph(block.caption, self._quiet)
            case Figure():
                yield from (_Drawn(block.sheet, self), Spacer(1, 4), self._paragraph(block.caption, self._quiet), Spacer(1, 8))

    def _paragraph(self, words: str, style: ParagraphStyle) -> Paragraph:
        face: Face = self.fonts.face(strong=style.fontName == self.fonts.strong.registered())
        return Paragraph(escape(with_units(face.shown(words)), quote=False), style)

    def _table(self, table: Table, *, headed: bool = True) -> PdfTable:
        def row(cells: tuple[str, ...], left: ParagraphStyle, right: ParagraphStyle) -> list[Paragraph]:
            return [self._paragraph(cell, right if way == "right" else left) for cell, way in zip(cells, table.align, strict=True)]

        rows = [row(cells, self._cell, self._cell_right) for cells in table.rows]
        if headed:
            rows.insert(0, row(table.heads, self._head, self._head_right))
        width = A4[0] - 2 * _SIDE
        style: list[tuple[Any, ...]] = [
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("RIGHTPADDING", (0, 0), (-1, -1), 9),
            ("TOPPADDING", (0, 0), (-1, -1), 2),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
        ]
        if headed:
            style += [
                ("LINEBELOW", (0, 0), (-1, 0), 0.8, colour_of(self.look, "ink")),
                ("LINEBELOW", (0, 1), (-1, -1), 0.25, colour_of(self.look, "rule")),
                ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
            ]
        made = PdfTable(rows, colWidths=[width * share for share in table.widths], repeatRows=1 if headed else 0, hAlign="LEFT")
        made.setStyle(style)
        made.spaceAfter = 4
        return made
