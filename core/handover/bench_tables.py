"""The bench sheet as a part of the report."""

from collections.abc import Iterator

from core.handover.bench_sheet import CENTRE_PULSE, BenchSheet, Horn, bench_sheet
from core.handover.page import Block, Heading, Table, Words
from core.model.project import Project, Unit
from core.sentences.numbers import drive_number, drive_value, plain, rounded


def bench_blocks(project: Project) -> Iterator[Block]:
    """Rods, horns, channels and sizes; lists with nothing in them are left out."""
    sheet = bench_sheet(project)
    yield Heading("Bench sheet")
    yield from _rods(sheet)
    yield from _horns(sheet)
    yield from _channels(sheet)
    yield from _sources(sheet)


def _rods(sheet: BenchSheet) -> Iterator[Block]:
    if not sheet.rods:
        return
    yield Heading("Rods", 2)
    yield Table(
        heads=("Rod", "Between", "Pin to pin, mm", "Depth offset, mm", "Length, mm", "Ends"),
        rows=tuple(
            (
                rod.body,
                f"{rod.to[0]} and {rod.to[1]}",
                rounded(rod.in_section, places=2),
                rounded(rod.offset, places=2),
                rounded(rod.length, places=2),
                rod.ends[0] if rod.ends[0] == rod.ends[1] else "; ".join(rod.ends),
            )
            for rod in sheet.rods
        ),
        align=("left", "left", "right", "right", "right", "left"),
        widths=(0.18, 0.26, 0.12, 0.13, 0.11, 0.2),
        caption="Pin to pin in the section; the length counts the depth between the rod's own two ends.",
    )


def _horns(sheet: BenchSheet) -> Iterator[Block]:
    if not sheet.horns:
        return
    yield Heading("Setting the horns", 2)
    yield Table(
        heads=("Part", "Drive", "Set with the drive at", "Turned from drawn", "Pins from the pivot"),
        rows=tuple(
            (
                f"{horn.body} on {horn.on}",
                horn.drive,
                f"{drive_value(horn.value, horn.unit, tr=plain)} ({'centre pulse' if horn.at_centre else 'home'})",
                drive_value(horn.turn, "deg", tr=plain),
                _holes(horn),
            )
            for horn in sheet.horns
        ),
        align=("left", "left", "left", "right", "left"),
        widths=(0.24, 0.14, 0.22, 0.13, 0.27),
        caption="Angles counter-clockwise; the part that carries the pivot stands as drawn. "
        f"The centre pulse is {CENTRE_PULSE:g} \N{MICRO SIGN}s (common practice, no source).",
    )
    steps = ", ".join(f"{rounded(each.trim, places=2)} deg at {each.teeth} teeth" for each in sheet.horns[0].splines)
    yield Words(
        f"A horn goes on only tooth by tooth: what is left to the wanted angle is at most half a step ({steps}; usual tooth counts, "
        "common practice, no source). Take it up once, as a fixed offset at the controller, before any travel is tried."
    )


def _holes(horn: Horn) -> str:
    told = (f"{hole.joint}: {rounded(hole.distance, places=2)} mm at {drive_number(hole.angle)} deg" for hole in horn.holes)
    return "; ".join(told) or "none"


def _channels(sheet: BenchSheet) -> Iterator[Block]:
    if not sheet.channels:
        return
    yield Heading("Channels", 2)
    yield Table(
        heads=("Channel", "Drive", "Travel", "Home", "Pulses over travel, \N{MICRO SIGN}s", "Pulse at home, \N{MICRO SIGN}s"),
        rows=tuple(
            (
                str(each.number),
                each.drive,
                f"{drive_number(each.travel[0])} to {drive_value(each.travel[1], each.unit, tr=plain)}",
                _unit(each.home, each.unit),
                "not given" if each.travel_pulses is None else " to ".join(f"{pulse:.0f}" for pulse in each.travel_pulses),
                "not given" if each.home_pulse is None else f"{each.home_pulse:.0f}",
            )
            for each in sheet.channels
        ),
        align=("right", "left", "left", "right", "right", "right"),
        widths=(0.1, 0.24, 0.2, 0.12, 0.2, 0.14),
        caption="Channels are numbered in the order of the drives in the file. Travel is what was swept, not what is safe.",
    )


def _unit(value: float, unit: Unit) -> str:
    return drive_value(value, unit, tr=plain)


def _sources(sheet: BenchSheet) -> Iterator[Block]:
    yield Heading("Where sizes come from", 2)
    told: dict[str, list[str]] = {}
    for source in sheet.sources:
        told.setdefault(source.trust or "not said", []).append(source.body)
    yield Table(
        heads=("Sizes", "Bodies"),
        rows=tuple((trust, ", ".join(bodies)) for trust, bodies in told.items()),
        align=("left", "left"),
        widths=(0.2, 0.8),
    )
