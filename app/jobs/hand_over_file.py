"""What a worker makes for the hand-over: the bytes of one file, as the command line writes it, and images of its pages. Knows no Qt."""

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from importlib.metadata import version
from pathlib import Path
from typing import Final

import pypdfium2

from app.jobs.file_ask import FileAsk, Made, PageAsk, PageImage
from core.drawing.sheet import Sheet
from core.errors import UsageError
from core.handover.envelope import envelope_sheet, envelope_words, not_enclosed_sentence
from core.handover.files import bench_file, limits_file, pages_file, report_file
from core.handover.findings import Swept, findings_of, swept
from core.handover.fonts import Fonts, fonts_in
from core.handover.limits import Origin, limits_of
from core.handover.page import Report
from core.handover.pdf import pdf_file
from core.handover.picture import picture_sheet
from core.handover.png import png_file
from core.handover.posed import section_named
from core.handover.report import clearance_report
from core.handover.svg import svg_file
from core.handover.template import template_sheets
from core.model.project import Project
from core.project_file.write import project_to_bytes
from core.sweep.drive_map import map_of
from core.sweep.envelope import NotEnclosed, envelope_of

LEAF = 1.0
"""Largest cell of an allowed-together table, drive units, as on the command line."""
BOUND = 0.05
"""mm that an envelope may be larger than what is covered, as on the command line."""
POINTS_IN_INCH: Final = 72.0

Progress = Callable[[float], bool]

FONTS_FOLDER = Path(__file__).resolve().parents[1] / "fonts"


@dataclass(slots=True)
class HandOverFiles:
    """Makes files, and keeps the last sweep and the pages of the last file, since options change more often than the project."""

    _fonts: Fonts = field(default_factory=lambda: fonts_in(FONTS_FOLDER))
    _swept: Swept | None = None
    _told: tuple[Swept, str, Report] | None = None
    _paged: tuple[FileAsk, bytes] | None = None

    def make(self, ask: FileAsk, progress: Progress) -> Made | None:
        """The file; None where `progress` ended it."""
        try:
            return {
                "report": self._report,
                "limits": self._limits,
                "envelope": self._envelope,
                "template": self._template,
                "bench": self._bench,
                "picture": self._picture,
            }[ask.kind](ask, progress)
        except UsageError as refusal:
            return Made(why_not=str(refusal))

    def page(self, ask: PageAsk, progress: Progress) -> PageImage | None:
        """An image of a page; the file is made anew where another one was made since."""
        if self._paged is None or self._paged[0] != ask.file:
            self.make(ask.file, progress)
        if self._paged is None or self._paged[0] != ask.file:
            return None
        document = pypdfium2.PdfDocument(self._paged[1])
        try:
            page = document[ask.number]
            bitmap = page.render(scale=ask.width / page.get_width(), prefer_bgrx=True)
            return PageImage(ask.number, bitmap.width, bitmap.height, bitmap.stride, bytes(bitmap.buffer))
        finally:
            document.close()

    def _result(self, project: Project, progress: Progress) -> Swept | None:
        if self._swept is None or self._swept.project != project:
            ended = False

            def goes_on(share: float) -> bool:
                nonlocal ended
                ended = ended or not progress(share)
                return not ended

            found = swept(project, progress=goes_on)
            if ended:
                return None
            self._swept = found
        return self._swept

    def _report(self, ask: FileAsk, progress: Progress) -> Made | None:
        result = self._result(ask.project, progress)
        if result is None:
            return None
        if ask.ending == ".csv":
            return Made(
                report_file(findings_of(result, origin=origin_of(ask.project), date=ask.date, drawn=False), ".csv", fonts=self._fonts)
            )
        report = self._report_of(result, ask.date)
        data = pages_file(report, ask.ending, fonts=self._fonts)
        # There is no browser to show a page in: the same report stands on paper.
        return self._with_pages(ask, data, data if ask.ending == ".pdf" else pages_file(report, ".pdf", fonts=self._fonts))

    def _report_of(self, found: Swept, date: str) -> Report:
        """The report, drawn once for all its endings."""
        if self._told is None or self._told[0] is not found or self._told[1] != date:
            self._told = found, date, clearance_report(findings_of(found, origin=origin_of(found.project), date=date), fonts=self._fonts)
        return self._told[2]

    def _limits(self, ask: FileAsk, progress: Progress) -> Made | None:
        result = self._result(ask.project, progress)
        if result is None:
            return None
        plan = result.poses.plan
        tables = [map_of(ask.project, *ask.table, others="any", leaf=LEAF, progress=progress, plan=plan)] if len(ask.table) == 2 else []
        limits = limits_of(ask.project, result.result, origin=origin_of(ask.project), tables=tables)
        return Made(limits_file(limits, ask.ending))

    def _envelope(self, ask: FileAsk, progress: Progress) -> Made | None:
        project, section = ask.project, section_named(ask.project, ask.section)
        found = envelope_of(project, section, ask.bodies, ask.drives or None, bound=BOUND, grow=ask.grow, progress=progress)
        if isinstance(found, NotEnclosed):
            return Made(why_not=not_enclosed_sentence(found, project))
        words = " ".join(envelope_words(found, project))
        sheet = envelope_sheet(found, project, fonts=self._fonts)
        title = f"{project.name} · {section.name}: envelope"
        data = svg_file(sheet, fonts=self._fonts, title=title, description=words).encode()
        return self._with_pages(ask, data, self._paper([sheet], title))

    def _template(self, ask: FileAsk, _progress: Progress) -> Made:
        section = section_named(ask.project, ask.section)
        sheets = template_sheets(ask.project, section, fonts=self._fonts)
        data = self._paper(sheets, f"{ask.project.name} · {section.name}, 1 : 1")
        return self._with_pages(ask, data, data)

    def _bench(self, ask: FileAsk, _progress: Progress) -> Made:
        return Made(bench_file(ask.project))

    def _picture(self, ask: FileAsk, _progress: Progress) -> Made:
        section = section_named(ask.project, ask.section)
        values = {drive.name: drive.home for drive in ask.project.drives} | dict(ask.at)
        sheet = picture_sheet(ask.project, section, values, fonts=self._fonts)
        title = f"{ask.project.name} · {section.name}"
        if ask.ending == ".svg":
            data = svg_file(sheet, fonts=self._fonts, title=title).encode()
        else:
            data = png_file(sheet, fonts=self._fonts, title=title)
        return self._with_pages(ask, data, self._paper([sheet], title))

    def _paper(self, sheets: Sequence[Sheet], title: str) -> bytes:
        return pdf_file(sheets, fonts=self._fonts, title=title)

    def _with_pages(self, ask: FileAsk, data: bytes, paper: bytes) -> Made:
        self._paged = ask, paper
        document = pypdfium2.PdfDocument(paper)
        try:
            in_mm = 25.4 / POINTS_IN_INCH
            sizes = tuple((width * in_mm, height * in_mm) for width, height in map(document.get_page_size, range(len(document))))
        finally:
            document.close()
        return Made(data, sizes)


def origin_of(project: Project) -> Origin:
    """The digest of the project's bytes as they would be saved, and the program's version."""
    return Origin(hashlib.sha256(project_to_bytes(project)).hexdigest(), f"Baysweep {version('baysweep')}")
