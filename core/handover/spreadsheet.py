"""Tables for spreadsheets: RFC 4180, UTF-8, and no cell that a spreadsheet would run as a formula."""

import csv
import io
from collections.abc import Iterable, Sequence

from core.sweep.json_form import number

Cell = str | float | None
"""Words, a number, or nothing."""

_STARTS_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
"""Letters with which spreadsheets begin a formula; some take their full-width forms for the same."""


def csv_of(head: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    """The table with its head, lines ended by CR LF. Numbers stand to six decimals; words that look like a formula begin with a quote."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([words(name) for name in head])
    for row in rows:
        writer.writerow([_written(cell) for cell in row])
    return out.getvalue()


def words(text: str) -> str:
    """`text` as a cell of words: what a spreadsheet would take for a formula begins with a quote."""
    return f"'{text}" if text.startswith(_STARTS_FORMULA) else text


def _written(cell: Cell) -> str:
    if cell is None:
        return ""
    return words(cell) if isinstance(cell, str) else f"{number(cell):.6f}".rstrip("0").rstrip(".")
