"""Limits as a C header (C99): constants and tables in whole numbers, so that no rounding of the compiler's moves an end."""

import math
import re
import textwrap
import unicodedata
from collections.abc import Iterator, Sequence

from core.handover.limits import DriveLimits, Limits
from core.model.project import Unit
from core.sweep.drive_map import CLEAR, DriveMap

LONGEST = 40
"""Letters of an identifier made of a name; C99 tells 63 apart, and a suffix follows."""

ACROSS = 24
"""Numbers on one line of a table."""

PER_UNIT = 1000
"""Travels are written in thousandths of a degree or of a mm."""

_THAT_RULES_ALLOW = " that the rules between drives allow"
_AND_RULED_OUT = ", also where a rule between these two leaves out any of the cell"

_SLACK = 1e-6
_UNITS: dict[Unit, str] = {"deg": "thousandths of a degree", "mm": "thousandths of a mm"}


def limits_header(limits: Limits) -> str:
    """The header, ASCII, lines ended by LF. Without a joint safe box there is no table of one: code that needs it does not compile."""
    names = _Identifiers()
    stem = names.fresh(limits.project, instead="PROJECT")
    guard = f"{stem}_LIMITS_H"
    lines = [
        *_comment(*_head(limits)),
        f"#ifndef {guard}",
        f"#define {guard}",
        "",
        f"#define {stem}_DRIVES {len(limits.drives)}",
        "",
    ]
    for number, drive in enumerate(limits.drives):
        own = f"{stem}_{names.fresh(drive.drive, instead='DRIVE')}"
        lines += [*_one_drive(own, number, drive, rules=bool(limits.rules)), ""]
    lines += [*_together(stem, limits), ""]
    for number, table in enumerate(limits.tables, start=1):
        lines += [*_table(f"{stem}_TABLE_{number}", limits, table), ""]
    return "\n".join([*lines, f"#endif /* {guard} */", ""])


def _head(limits: Limits) -> Iterator[str]:
    yield f"Limits of {limits.project} for its controller, made by {limits.origin.program}. Made from the project; do not edit."
    yield f"SHA-256 of the project file: {limits.origin.digest}"
    yield from limits.cautions
    yield "Ends are rounded to the safe side, into the proved travel. Pulses are whole microseconds."


def _one_drive(name: str, number: int, drive: DriveLimits, *, rules: bool) -> Iterator[str]:
    yield from _comment(f"{drive.drive}: {_UNITS[drive.unit]}.")
    yield f"#define {name} {number}"
    yield f"#define {name}_HOME {_literal(round(drive.home * PER_UNIT))}"
    if drive.alone is None:
        yield from _comment(f"No travel is proved with the other drives anywhere: {drive.why_not_alone}.")
    else:
        low, high = _whole(drive.alone)
        yield from _comment(f"Proved with the other drives anywhere in their travel{_THAT_RULES_ALLOW if rules else ''}:")
        yield f"#define {name}_ALONE_FROM {_literal(low)}"
        yield f"#define {name}_ALONE_TO {_literal(high)}"
    if drive.pulses_alone is not None:
        yield f"#define {name}_ALONE_LEAST_US {drive.pulses_alone[0]}"
        yield f"#define {name}_ALONE_MOST_US {drive.pulses_alone[1]}"


def _together(stem: str, limits: Limits) -> Iterator[str]:
    spans = [drive.together for drive in limits.drives]
    if not spans or any(span is None for span in spans):
        yield from _comment(f"No joint box of travels is proved: {limits.why_no_box}.")
        return
    ends = [_whole(span) for span in spans if span is not None]
    yield from _comment(
        "The joint box of travels: no checked pair comes too close while every drive stays inside its own, in any combination. "
        "In the order of the drives above, each in its own unit."
    )
    yield from _array(f"static const long {stem}_TOGETHER_FROM[{stem}_DRIVES]", [low for low, _ in ends])
    yield from _array(f"static const long {stem}_TOGETHER_TO[{stem}_DRIVES]", [high for _, high in ends])
    if all(drive.pulses_together is not None for drive in limits.drives):
        pulses = [drive.pulses_together for drive in limits.drives if drive.pulses_together is not None]
        yield from _array(f"static const long {stem}_TOGETHER_LEAST_US[{stem}_DRIVES]", [least for least, _ in pulses])
        yield from _array(f"static const long {stem}_TOGETHER_MOST_US[{stem}_DRIVES]", [most for _, most in pulses])


def _table(name: str, limits: Limits, table: DriveMap) -> Iterator[str]:
    first, second = table.drives
    unit = {drive.drive: drive.unit for drive in limits.drives}
    allowed = (table.state == CLEAR).astype(int)
    yield from _comment(
        f"Allowed together: {first} ({_UNITS[unit[first]]}) across, {second} ({_UNITS[unit[second]]}) down; 1 where it is proved that "
        f"nothing comes too close with the other drives anywhere{_THAT_RULES_ALLOW if limits.rules else ''}, 0 elsewhere"
        f"{_AND_RULED_OUT if limits.rules else ''}. Cell i reaches from edge i to edge i + 1; a value within "
        "1 of an edge needs the cells on both sides. This table is not a safety function."
    )
    yield f"#define {name}_COLUMNS {allowed.shape[1]}"
    yield f"#define {name}_ROWS {allowed.shape[0]}"
    for side, label in enumerate(("COLUMN", "ROW")):
        edges = [round(float(edge) * PER_UNIT) for edge in table.edges[side]]
        yield from _array(f"static const long {name}_{label}_EDGES[{name}_{label}S + 1]", edges)
    yield f"static const unsigned char {name}_ALLOWED[{name}_ROWS][{name}_COLUMNS] = {{"
    for row in allowed.tolist():
        yield from _filled(row, before="    {", after="},")
    yield "};"


def _array(head: str, numbers: Sequence[int]) -> Iterator[str]:
    yield f"{head} = {{"
    yield from _filled(numbers, before="    ", after="")
    yield "};"


def _filled(numbers: Sequence[int], *, before: str, after: str) -> Iterator[str]:
    lines = [", ".join(str(number) for number in numbers[start : start + ACROSS]) for start in range(0, len(numbers), ACROSS)]
    yield from (before + (",\n" + " " * len(before)).join(lines) + after).split("\n")


def _whole(span: tuple[float, float]) -> tuple[int, int]:
    """In thousandths, rounded into the span."""
    return math.ceil(span[0] * PER_UNIT - _SLACK), math.floor(span[1] * PER_UNIT + _SLACK)


def _literal(value: int) -> str:
    return f"({value})" if value < 0 else str(value)


def _comment(*sentences: str) -> Iterator[str]:
    """Block comments that no text can end or nest, in ASCII: other letters are told by their number."""
    for sentence in sentences:
        safe = "".join(letter if " " <= letter <= "~" else f"<U+{ord(letter):04X}>" for letter in sentence)
        # A space between keeps a text from opening or ending a comment, and `?` from making a trigraph.
        safe = re.sub(r"\?(?=\?)", "? ", safe.replace("*/", "* /").replace("/*", "/ *").replace("\\", "<U+005C>"))
        yield "\n".join(textwrap.wrap(f"/* {safe} */", width=110, subsequent_indent="   ", break_long_words=False, break_on_hyphens=False))


class _Identifiers:
    """Makes names into identifiers that differ."""

    def __init__(self) -> None:
        self._taken: set[str] = set()

    def fresh(self, name: str, *, instead: str) -> str:
        """Upper-case ASCII letters, digits and `_`; `instead` where nothing is left of the name."""
        plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
        stem = re.sub(r"[^A-Za-z0-9]+", "_", plain).strip("_").upper()[:LONGEST].strip("_") or instead
        if stem[0].isdigit():
            stem = f"{instead}_{stem}"
        found, number = stem, 1
        while found in self._taken:
            number += 1
            found = f"{stem}_{number}"
        self._taken.add(found)
        return found
