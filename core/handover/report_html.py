"""A report as one HTML file: no script, nothing fetched, figures as SVG inside, and a style for the printer."""

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from core.drawing.sheet import Sheet
from core.handover.fonts import Fonts, sound, with_units
from core.handover.page import Report
from core.handover.svg import Written, svg_element


def report_html(report: Report, *, fonts: Fonts) -> str:
    """The page, to be written as UTF-8. All words of the project are escaped; the figures are the only markup that is not the page's."""
    environment = Environment(
        loader=PackageLoader("core.handover"), autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    environment.filters["sound"] = lambda words: with_units(sound(words))
    count = iter(range(1, 1_000_000))
    written: Written = {}

    def drawn(sheet: Sheet, title: str) -> Markup:
        # svg_element escapes every word it is given.
        return Markup(svg_element(sheet, fonts=fonts, title=title, prefix=f"f{next(count)}-", written=written))  # noqa: S704

    page = environment.get_template("report.html.jinja")
    blocks = [(type(block).__name__.lower(), block) for block in report.blocks]
    return page.render(report=report, blocks=blocks, drawn=drawn)
