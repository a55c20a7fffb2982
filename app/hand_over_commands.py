"""The commands that write a drawing to a file: `picture`, `template` and `envelope`. No display is needed."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, TypeVar

import click

from core.errors import UsageError

UNDECIDED = 3

Command = Callable[..., Any]
Name = TypeVar("Name", bound=str)

file_argument = click.argument("file", type=click.Path(path_type=Path, dir_okay=True))
section_option = click.option("--section", "name", metavar="S", help="The section. May be left out where there is only one.")


def target_option(endings: str) -> Callable[[Command], Command]:
    """`-o`, the file to write."""
    kind = click.Path(path_type=Path, dir_okay=False)
    return click.option("-o", "target", required=True, type=kind, help=f"The file to write: {endings}. Replaced if there.")


@click.command()
@file_argument
@section_option
@click.option("--at", "given", multiple=True, metavar="DRIVE=VALUE", help="Where a drive stands; may be repeated. Others stand at home.")
@target_option(".svg or .png")
def picture(*, file: Path, name: str | None, given: tuple[str, ...], target: Path) -> None:
    """Draw a section of FILE at a pose, with a scale bar in mm, as SVG or PNG."""
    from app.command_line import drive_values
    from core.handover.fonts import fonts_in
    from core.handover.picture import picture_sheet
    from core.handover.posed import chosen_section
    from core.project_file.read import read_project

    ending = chosen_ending(target, ".svg", ".png")
    project = read_project(file)
    section = chosen_section(project, name)
    fonts = fonts_in(fonts_folder())
    sheet = picture_sheet(project, section, drive_values(project, given), fonts=fonts)
    title = f"{project.name} · {section.name}"
    if ending == ".svg":
        from core.handover.svg import svg_file

        write_file(target, svg_file(sheet, fonts=fonts, title=title).encode())
    else:
        from core.handover.png import png_file

        write_file(target, png_file(sheet, fonts=fonts, title=title))


@click.command()
@file_argument
@section_option
@target_option(".pdf")
def template(*, file: Path, name: str | None, target: Path) -> None:
    """Draw a section of FILE as drawn, 1:1 on A4 pages, with pin centres and a rule to check the print by."""
    from core.handover.fonts import fonts_in
    from core.handover.pdf import pdf_file
    from core.handover.posed import chosen_section
    from core.handover.template import template_sheets
    from core.project_file.read import read_project

    chosen_ending(target, ".pdf")
    project = read_project(file)
    section = chosen_section(project, name)
    fonts = fonts_in(fonts_folder())
    sheets = template_sheets(project, section, fonts=fonts)
    write_file(target, pdf_file(sheets, fonts=fonts, title=f"{project.name} · {section.name}, 1 : 1"))
    click.echo(f"{len(sheets)} {'page' if len(sheets) == 1 else 'pages'} written to {target}.", err=True)


@click.command()
@file_argument
@section_option
@click.option("--body", "bodies", required=True, multiple=True, metavar="B", help="A body; may be repeated for a group.")
@click.option(
    "--drive", "drives", multiple=True, metavar="D", help="A drive that runs; may be repeated. Others stand at home. Default: all."
)
@click.option(
    "--grow", metavar="MM", type=click.FloatRange(min=0), default=0.0, show_default=True, help="Grow the region, such as by a gap."
)
@click.option(
    "--bound",
    metavar="MM",
    type=click.FloatRange(min=0.0005),
    default=0.05,
    show_default=True,
    help="How much larger than what is covered the region may be.",
)
@target_option(".svg")
def envelope(
    *, file: Path, name: str | None, bodies: tuple[str, ...], drives: tuple[str, ...], grow: float, bound: float, target: Path
) -> int:
    """Draw the region that bodies cover while drives run, proved to hold them, as SVG 1:1 in mm.

    Exit codes: 0 written, 3 not proved and not written, 2 bad input or usage.
    """
    from app.command_line import progress_on_terminal
    from core.handover.envelope import envelope_sheet, envelope_words, not_enclosed_sentence
    from core.handover.fonts import fonts_in
    from core.handover.posed import chosen_section
    from core.handover.svg import svg_file
    from core.project_file.read import read_project
    from core.sweep.envelope import NotEnclosed, envelope_of

    chosen_ending(target, ".svg")
    project = read_project(file)
    section = chosen_section(project, name)
    chosen = _known([body.name for body in section.bodies], bodies, what="bodies")
    running = _known([drive.name for drive in project.drives], drives, what="drives") if drives else None
    with progress_on_terminal("covering") as progress:
        found = envelope_of(project, section, chosen, running, bound=bound, grow=grow, progress=progress)
    if isinstance(found, NotEnclosed):
        click.echo(not_enclosed_sentence(found, project), err=True)
        return UNDECIDED
    fonts = fonts_in(fonts_folder())
    words = " ".join(envelope_words(found, project))
    sheet = envelope_sheet(found, project, fonts=fonts)
    write_file(target, svg_file(sheet, fonts=fonts, title=f"{project.name} · {section.name}: envelope", description=words).encode())
    click.echo(words, err=True)
    return 0


COMMANDS: tuple[click.Command, ...] = (picture, template, envelope)


def fonts_folder() -> Path:
    """Where the program's own fonts lie."""
    return Path(__file__).resolve().parent / "fonts"


def write_file(target: Path, data: bytes) -> None:
    """Write a file, or UsageError with what to do."""
    try:
        target.write_bytes(data)
    except OSError as error:
        raise UsageError(f"{target} was not written: {error.strerror}. Choose a folder that you may write to.") from error


def chosen_ending(target: Path, *known: str) -> str:
    """The ending of the file to write, in lower case; UsageError where it is none of those known."""
    ending = target.suffix.lower()
    if ending not in known:
        raise UsageError(f"{target} does not end in {' or '.join(known)}. Give the file that ending.")
    return ending


def _known(there: Sequence[Name], names: Sequence[str], *, what: str) -> list[Name]:
    """The names as the project has them, each once."""
    for name in names:
        if name not in there:
            raise UsageError(f"`{name}` is not one of the {what}: {', '.join(there) or 'there are none'}.")
    return [each for each in there if each in names]
