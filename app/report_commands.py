"""The commands that write what was proved: `report`, `limits` and `bench`. No display is needed."""

import hashlib
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from app.collected_seldom import collected_seldom
from app.hand_over_commands import chosen_ending, file_argument, fonts_folder, target_option, write_file
from core.errors import UsageError

if TYPE_CHECKING:
    from core.handover.findings import Swept
    from core.handover.limits import Origin
    from core.model.project import Project
    from core.sweep.drive_map import DriveMap

NOTHING_PROVED = 3
LEAST_LEAF = 0.01


@click.command()
@file_argument
@target_option(".html, .pdf or .csv")
@click.option("--date", "date", metavar="DATE", help="The date on the report, as 2026-01-31. Default: that of the file's last change.")
@click.option("--budget", metavar="SECONDS", type=click.FloatRange(min=0, min_open=True), help="Stop the sweep after this time.")
@collected_seldom()
def report(*, file: Path, target: Path, date: str | None, budget: float | None) -> int:
    """Write the clearance report of FILE: verdict, figures of breaches, timeline, safe travel, bench sheet.

    Exit codes as of `check`: 0 clear, 1 breach, 3 undecided, 2 bad input or usage; the report is written in all but the last.
    """
    from app.command_line import code_of
    from core.handover.files import REPORT_ENDINGS, report_file
    from core.handover.findings import findings_of
    from core.handover.fonts import fonts_in
    from core.project_file.read import read_project

    ending = chosen_ending(target, *REPORT_ENDINGS)
    project = read_project(file)
    day = _day(date) if date is not None else _changed(file)
    swept = _swept(project, budget=budget)
    found = findings_of(swept, origin=origin_of(file), date=day, drawn=ending != ".csv")
    write_file(target, report_file(found, ending, fonts=fonts_in(fonts_folder())))
    return code_of(swept.result.verdict)


@click.command()
@file_argument
@target_option(".csv, .json or .h")
@click.option("--table", "tables", nargs=2, multiple=True, metavar="A B", help="Add what two drives may do at once; may be repeated.")
@click.option(
    "--leaf", metavar="SIZE", type=click.FloatRange(min=LEAST_LEAF), default=1.0, show_default=True, help="Largest cell of a table."
)
@collected_seldom()
def limits(*, file: Path, target: Path, tables: tuple[tuple[str, str], ...], leaf: float) -> int:
    """Write travels of FILE's drives that are proved together, for a controller. Not a safety function.

    Exit codes: 0 written, 3 written but no joint box of travels is proved, 2 bad input or usage.
    """
    from core.handover.files import LIMITS_ENDINGS, limits_file
    from core.handover.limits import limits_of
    from core.project_file.read import read_project

    ending = chosen_ending(target, *LIMITS_ENDINGS)
    project = read_project(file)
    maps = [_table(project, names, leaf) for names in tables]
    found = limits_of(project, _swept(project).result, origin=origin_of(file), tables=maps)
    write_file(target, limits_file(found, ending))
    if found.why_no_box:
        click.echo(f"No joint box of travels is proved: {found.why_no_box}.", err=True)
        return NOTHING_PROVED
    return 0


@click.command()
@file_argument
@target_option(".csv")
def bench(*, file: Path, target: Path) -> None:
    """Write the bench sheet of FILE: rods, horns to set, channels, and which sizes were measured."""
    from core.handover.files import bench_file
    from core.project_file.read import read_project

    chosen_ending(target, ".csv")
    write_file(target, bench_file(read_project(file)))


COMMANDS: tuple[click.Command, ...] = (report, limits, bench)


def origin_of(file: Path) -> "Origin":
    """What is written of where the numbers come from: the digest of the file as it lies there, and the program's version."""
    from core.handover.limits import Origin

    return Origin(hashlib.sha256(file.read_bytes()).hexdigest(), program_name())


def program_name() -> str:
    """Name and version of the program."""
    from importlib.metadata import version

    return f"Baysweep {version('baysweep')}"


def _swept(project: "Project", *, budget: float | None = None) -> "Swept":
    from app.command_line import progress_on_terminal
    from core.handover.findings import swept

    with progress_on_terminal("sweeping") as progress:
        return swept(project, budget=budget, progress=progress)


def _table(project: "Project", names: tuple[str, str], leaf: float) -> "DriveMap":
    from app.command_line import two_drives
    from core.sweep.drive_map import map_of

    first, second = two_drives(project, names)
    return map_of(project, first, second, others="any", leaf=leaf)


def _day(given: str) -> str:
    try:
        return datetime.strptime(given, "%Y-%m-%d").replace(tzinfo=UTC).date().isoformat()
    except ValueError as error:
        raise UsageError(f"`{given}` is not a date. Write it as 2026-01-31.") from error


def _changed(file: Path) -> str:
    """The day of the file's last change, UTC: the same file gives the same bytes."""
    return datetime.fromtimestamp(file.stat().st_mtime, tz=UTC).date().isoformat()
