"""What stands in a report, apart from how a page shows it: headings, sentences, tables and figures, in reading order."""

from dataclasses import dataclass, field
from typing import Literal

from core.drawing.sheet import Sheet

Align = Literal["left", "right"]


@dataclass(frozen=True, slots=True)
class Heading:
    """The head of a part. `level` 1: a part of the report, 2: a part of that."""

    words: str
    level: Literal[1, 2] = 1


@dataclass(frozen=True, slots=True)
class Words:
    """One paragraph. strong: the line that all others explain. quiet: small print."""

    words: str
    weight: Literal["strong", "plain", "quiet"] = "plain"


@dataclass(frozen=True, slots=True)
class Points:
    """Sentences as a list, each with its own mark."""

    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """heads: of the columns. align: of each column; rows hold as many cells. widths: shares of the page's width, one a column."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    align: tuple[Align, ...]
    widths: tuple[float, ...]
    caption: str = ""


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing with its sentence below; the two stay on one page."""

    sheet: Sheet
    caption: str


Block = Heading | Words | Points | Table | Figure


@dataclass(frozen=True, slots=True)
class Report:
    """A report: its title, the line under it, what it was made from as (label, value), and its blocks."""

    title: str
    subtitle: str
    about: tuple[tuple[str, str], ...]
    blocks: tuple[Block, ...] = field(default=())
