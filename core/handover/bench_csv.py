"""The bench sheet as a table for spreadsheets: one row an item, the first cell tells its list."""

from collections.abc import Iterator

from core.handover.bench_sheet import BenchSheet, Channel, Horn, Rod, Source
from core.handover.spreadsheet import Cell, csv_of

HEAD = (
    "list",
    "section",
    "item",
    "joined to",
    "joints",
    "pin to pin mm",
    "depth offset mm",
    "length mm",
    "ends",
    "drive",
    "drive value",
    "unit",
    "angle deg",
    "hole mm",
    "spline teeth",
    "spline step deg",
    "trim at most deg",
    "channel",
    "from",
    "to",
    "home",
    "from us",
    "to us",
    "home us",
    "outline within mm",
    "sizes",
)


def bench_csv(sheet: BenchSheet) -> str:
    """Rods, horns (a row a hole, and a row a spline), channels, and where the sizes of each body come from."""
    rows: list[tuple[Cell, ...]] = [_rod(rod) for rod in sheet.rods]
    for horn in sheet.horns:
        rows += _horn(horn)
    rows += [_channel(channel) for channel in sheet.channels]
    rows += [_source(source) for source in sheet.sources]
    return csv_of(HEAD, rows)


def _row(cells: dict[str, Cell]) -> tuple[Cell, ...]:
    return tuple(cells.get(name, "") for name in HEAD)


def _rod(rod: Rod) -> tuple[Cell, ...]:
    return _row(
        {
            "list": "rod",
            "section": rod.section,
            "item": rod.body,
            "joined to": "; ".join(rod.to),
            "joints": "; ".join(rod.joints),
            "pin to pin mm": rod.in_section,
            "depth offset mm": rod.offset,
            "length mm": rod.length,
            "ends": "; ".join(rod.ends),
        }
    )


def _horn(horn: Horn) -> Iterator[tuple[Cell, ...]]:
    common: dict[str, Cell] = {
        "section": horn.section,
        "item": horn.body,
        "joined to": horn.on,
        "drive": horn.drive,
        "drive value": horn.value,
        "unit": horn.unit,
    }
    yield _row({**common, "list": "horn as set", "angle deg": horn.turn, "sizes": "at the centre pulse" if horn.at_centre else "at home"})
    for hole in horn.holes:
        yield _row({**common, "list": "horn hole", "joints": hole.joint, "hole mm": hole.distance, "angle deg": hole.angle})
    for spline in horn.splines:
        told: dict[str, Cell] = {"list": "horn spline", "spline teeth": float(spline.teeth), "spline step deg": spline.step}
        yield _row({**common, **told, "trim at most deg": spline.trim})


def _channel(channel: Channel) -> tuple[Cell, ...]:
    pulses = channel.travel_pulses or (None, None)
    return _row(
        {
            "list": "channel",
            "channel": float(channel.number),
            "drive": channel.drive,
            "unit": channel.unit,
            "from": channel.travel[0],
            "to": channel.travel[1],
            "home": channel.home,
            "from us": pulses[0],
            "to us": pulses[1],
            "home us": channel.home_pulse,
        }
    )


def _source(source: Source) -> tuple[Cell, ...]:
    return _row(
        {
            "list": "sizes",
            "section": source.section,
            "item": source.body,
            "outline within mm": source.outline_tolerance,
            "sizes": source.trust or "not said",
        }
    )
