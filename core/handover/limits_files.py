"""Limits as a table for spreadsheets and as JSON."""

from collections.abc import Iterator

from core.handover.limits import DriveLimits, Limits
from core.handover.spreadsheet import Cell, csv_of
from core.sweep.drive_map import CLEAR, DriveMap
from core.sweep.json_form import Json, JsonObject, number
from core.sweep.result import Span

HEAD = (
    "table",
    "drive",
    "unit",
    "home",
    "from",
    "to",
    "home us",
    "least us",
    "most us",
    "second drive",
    "second from",
    "second to",
    "allowed",
    "note",
)


def limits_csv(limits: Limits) -> str:
    """One row a travel and one a cell of each table; the first rows tell where the file comes from and what it is not."""
    return csv_of(HEAD, [_row(table="about", note=note) for note in _about(limits)] + [*_travels(limits), *_cells(limits)])


def limits_json(limits: Limits) -> JsonObject:
    """The same as a dictionary; `null` where no travel is proved, with `why`."""
    return {
        "project": limits.project,
        "sha256": limits.origin.digest,
        "program": limits.origin.program,
        "cautions": list(limits.cautions),
        "rules_between_drives": limits.rules,
        "together": _box(limits),
        "alone": {drive.drive: _alone(drive) for drive in limits.drives},
        "allowed_together": [_table(table) for table in limits.tables],
    }


def _about(limits: Limits) -> Iterator[str]:
    yield f"Limits of {limits.project}, made by {limits.origin.program}"
    yield f"SHA-256 of the project file: {limits.origin.digest}"
    yield from limits.cautions


def _row(**cells: Cell) -> tuple[Cell, ...]:
    named = {name.replace("_", " "): cell for name, cell in cells.items()}
    named["from"] = named.pop("start", "")
    named["to"] = named.pop("end", "")
    return tuple(named.get(name, "") for name in HEAD)


def _travels(limits: Limits) -> Iterator[tuple[Cell, ...]]:
    for drive in limits.drives:
        for table, span, pulses, why in (
            ("together", drive.together, drive.pulses_together, limits.why_no_box),
            ("alone, others anywhere", drive.alone, drive.pulses_alone, drive.why_not_alone),
        ):
            start, end = span or ("", "")
            least, most = pulses or ("", "")
            yield _row(
                table=table,
                drive=drive.drive,
                unit=drive.unit,
                home=drive.home,
                start=start,
                end=end,
                home_us=drive.home_pulse,
                least_us=least,
                most_us=most,
                note="" if span else f"none: {why}",
            )


def _cells(limits: Limits) -> Iterator[tuple[Cell, ...]]:
    units = {drive.drive: drive.unit for drive in limits.drives}
    for table in limits.tables:
        first, second = table.drives
        across, down = table.edges
        for place, row in enumerate((table.state == CLEAR).tolist()):
            for column, allowed in enumerate(row):
                yield _row(
                    table="allowed together",
                    drive=first,
                    unit=units[first],
                    start=float(across[column]),
                    end=float(across[column + 1]),
                    second_drive=second,
                    second_from=float(down[place]),
                    second_to=float(down[place + 1]),
                    allowed="yes" if allowed else "no",
                )


def _box(limits: Limits) -> JsonObject:
    if not limits.drives or any(drive.together is None for drive in limits.drives):
        return {"travels": None, "why": limits.why_no_box}
    return {"travels": {drive.drive: _travel(drive, drive.together, drive.pulses_together) for drive in limits.drives}}


def _alone(drive: DriveLimits) -> JsonObject:
    if drive.alone is None:
        return {"from": None, "to": None, "unit": drive.unit, "why": drive.why_not_alone}
    return _travel(drive, drive.alone, drive.pulses_alone)


def _travel(drive: DriveLimits, span: Span | None, pulses: tuple[int, int] | None) -> JsonObject:
    low, high = span or (drive.home, drive.home)
    told: JsonObject = {"from": number(low), "to": number(high), "home": number(drive.home), "unit": drive.unit}
    if pulses is not None:
        told |= {"least_us": pulses[0], "most_us": pulses[1]}
    return told


def _table(table: DriveMap) -> JsonObject:
    edges: dict[str, Json] = {name: [number(float(edge)) for edge in edges] for name, edges in zip(table.drives, table.edges, strict=True)}
    return {
        "drives": list(table.drives),
        "edges": edges,
        "allowed": (table.state == CLEAR).astype(int).tolist(),
        "order": "a row for each interval of the second drive, low to high; 1 allowed, 0 not",
    }
