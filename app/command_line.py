"""The commands of `baysweep`. Answers go to stdout, messages to stderr; nothing here but `open` needs a display."""

import json
import os
import shlex
import signal
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from app import hand_over_commands, report_commands
from app.collected_seldom import collected_seldom
from core.errors import BaysweepError, UsageError
from core.tolerances import DEFAULT_TOLERANCES

if TYPE_CHECKING:
    from core.model.names import DriveName
    from core.model.project import Project
    from core.sweep.drive_map import Others
    from core.sweep.result import Covers, Verdict

CLEAR, BREACH, BAD_INPUT, UNDECIDED = 0, 1, 2, 3
INTERRUPTED, BROKEN_PIPE = 130, 141
_CODE_OF: dict["Verdict", int] = {"clear": CLEAR, "breach": BREACH, "undecided": UNDECIDED}
ENDING = ".bay.json"


def code_of(verdict: "Verdict") -> int:
    """The exit code that tells a verdict."""
    return _CODE_OF[verdict]


class FileOrCommand(click.Group):
    """A group in which a first word that names a file stands for `open` with that file."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Put `open` before a first word that is no command but a file, or looks like the name of one."""
        if args and not args[0].startswith("-") and args[0] not in self.commands and _looks_like_file(args[0]):
            args = ["open", *args]
        return super().parse_args(ctx, args)


def _looks_like_file(word: str) -> bool:
    return word.endswith(".json") or os.sep in word or Path(word).exists()


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; the answer is its exit code: 0 clear or done, 1 breach, 2 bad input or usage, 3 undecided."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    try:
        with cli.make_context("baysweep", words) as context:
            code = cli.invoke(context)
        sys.stdout.flush()
    except click.exceptions.Exit as done:
        return done.exit_code
    except click.ClickException as fault:
        fault.show()
        return BAD_INPUT
    except BaysweepError as fault:
        click.echo(str(fault), err=True)
        return BAD_INPUT
    except (KeyboardInterrupt, click.Abort):
        click.echo("Stopped.", err=True)
        return INTERRUPTED
    except BrokenPipeError:
        # Who read the answer has left; without this the interpreter would complain once more at its end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return BROKEN_PIPE
    return code if isinstance(code, int) else 0


@click.group(cls=FileOrCommand, invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="baysweep", message="%(prog)s %(version)s")
@click.pass_context
def cli(ctx: click.Context) -> int | None:
    """Proves through every position the drives can reach, together, whether moving parts touch.

    `baysweep FILE` opens a project in the window; `baysweep` alone offers the samples.

    Exit codes: 0 clear, 1 breach, 3 undecided, 2 bad input or usage.
    """
    return _window_or_list(None) if ctx.invoked_subcommand is None else None


for command in (*hand_over_commands.COMMANDS, *report_commands.COMMANDS):
    cli.add_command(command)

file_argument = click.argument("file", type=click.Path(path_type=Path, dir_okay=True))
json_option = click.option("--json", "as_json", is_flag=True, help="Answer as JSON, for machines.")


@cli.command(name="open", hidden=True)
@file_argument
def open_file(file: Path) -> int:
    """Open FILE in the window."""
    from core.project_file.read import read_project

    return _window_or_list(file, read_project(file, allow_invalid=True))


@cli.command()
@file_argument
@click.option(
    "--sweep",
    "covers",
    type=click.Choice(["solo", "combined", "all"]),
    default="all",
    show_default=True,
    help="solo: one drive at a time, the others at home; combined: every combination of all drives.",
)
@click.option(
    "--resolution",
    metavar="MM",
    type=click.FloatRange(min=0, min_open=True),
    default=DEFAULT_TOLERANCES.resolution,
    show_default=True,
    help="How closely lowest gaps are narrowed.",
)
@click.option("--boxes", metavar="N", type=click.IntRange(min=1), help="The most boxes of drive values looked at for one pair.")
@click.option(
    "--budget", metavar="SECONDS", type=click.FloatRange(min=0, min_open=True), help="Stop after this time; what is left is undecided."
)
@click.option("--all", "everything", is_flag=True, help="List every pair.")
@json_option
@collected_seldom()
def check(
    *, file: Path, covers: "Covers", resolution: float, boxes: int | None, budget: float | None, everything: bool, as_json: bool
) -> int:
    """Sweep the project in FILE and prove whether anything comes closer than asked.

    Exit codes: 0 clear, 1 breach, 3 undecided, 2 bad input or usage.
    """
    from core.project_file.read import read_project
    from core.sweep.run import check_project

    project = read_project(file)
    settings: dict[str, Any] = {"covers": covers, "resolution": resolution} | ({} if boxes is None else {"boxes": boxes})
    if not as_json:
        verdict = _print_page(project, settings, budget, everything=everything)
        click.echo(f"\nSee it in the window: {_own_name()} {shlex.quote(str(file))}")
        return code_of(verdict)
    from core.sentences import finding_sentence, plain, unchecked_reason
    from core.sweep.json_form import sweep_as_json

    with progress_on_terminal("sweeping") as progress:
        result = check_project(project, budget=budget, progress=progress, **settings)
    print_json(
        sweep_as_json(
            result,
            finding_text=lambda finding: finding_sentence(finding, plain),
            unchecked_reason=lambda pair: unchecked_reason(pair, plain),
        )
    )
    return code_of(result.verdict)


def _print_page(project: "Project", settings: dict[str, Any], budget: float | None, *, everything: bool) -> "Verdict":
    """The answer as a page, its first part as soon as it is proved: the joint box of travels takes as long again."""
    from app.answer_page import print_rest, print_verdict, tells_box
    from core.sweep.kept import Kept
    from core.sweep.run import check_project

    kept, started = Kept(), time.monotonic()
    with progress_on_terminal("sweeping") as progress:
        result = check_project(project, budget=budget, progress=progress, safe_anywhere=False, safe_box=False, kept=kept, **settings)
    print_verdict(result, project, everything=everything, to=sys.stdout)
    sys.stdout.flush()
    left = None if budget is None else budget - (time.monotonic() - started)
    if tells_box(result, project) and not result.stopped and (left is None or left > 0):
        with progress_on_terminal("finding what is safe together") as progress:
            more = check_project(project, budget=left, progress=progress, safe_anywhere=False, kept=kept, **settings)
        result = result.with_box_of(more)
    print_rest(result, project, everything=everything, to=sys.stdout)
    return result.verdict


@cli.command()
@file_argument
@click.option("--at", "given", multiple=True, metavar="DRIVE=VALUE", help="Where a drive stands; may be repeated. Others stand at home.")
@json_option
def pose(*, file: Path, given: tuple[str, ...], as_json: bool) -> None:
    """Tell where every body stands with the drives at given values, and the gap of every checked pair."""
    from core.project_file.read import read_project

    project = read_project(file)
    values = drive_values(project, given)
    from app.mechanism_answers import pose_as_json, print_pose

    if as_json:
        print_json(pose_as_json(project, values))
    else:
        print_pose(project, values, to=sys.stdout)


@cli.command(name="mobility")
@file_argument
@json_option
def mobility_of(*, file: Path, as_json: bool) -> None:
    """Tell in how many ways each section can move, what no drive moves, and which joints are redundant."""
    from core.project_file.read import read_project

    project = read_project(file)
    from app.mechanism_answers import mobility_as_json, print_mobility

    if as_json:
        print_json(mobility_as_json(project))
    else:
        print_mobility(project, to=sys.stdout)


@cli.command(name="map")
@file_argument
@click.option("--drives", required=True, nargs=2, metavar="A B", help="The two drives.")
@click.option(
    "--others",
    type=click.Choice(["home", "any"]),
    default="home",
    show_default=True,
    help="Where the other drives stand: at home, or anywhere in their travel.",
)
@click.option(
    "--leaf",
    metavar="SIZE",
    type=click.FloatRange(min=0, min_open=True),
    default=1.0,
    show_default=True,
    help="The largest side of a cell.",
)
@click.option("-o", "target", type=click.Path(path_type=Path, dir_okay=False), help="Write the cells to a .csv file.")
@click.option(
    "--workers",
    metavar="N",
    type=click.IntRange(min=1, max=64),
    default=1,
    show_default=True,
    help="Processes that work on the map beside each other; more than 1 pays for maps that take many seconds. The map is the same.",
)
@json_option
def map_drives(
    *, file: Path, drives: tuple[str, str], others: "Others", leaf: float, target: Path | None, workers: int, as_json: bool
) -> int:
    """Map two drives: for which values of both does anything come closer than asked.

    Exit codes: 0 all clear, 1 a breach somewhere, 3 undecided, 2 bad input or usage.
    """
    from core.project_file.read import read_project

    project = read_project(file)
    first, second = two_drives(project, drives)
    if target is not None and target.suffix.lower() != ".csv":
        raise UsageError(f"{target} does not end in .csv. Give the file that ending, or use --json for JSON.")
    from app.jobs.painters import painters
    from app.map_answer import map_as_csv, map_as_json, print_map
    from core.sweep.drive_map import BREACH, RULED_OUT, map_of

    with progress_on_terminal("mapping") as progress, painters(workers) as executor:
        found = map_of(project, first, second, others=others, leaf=leaf, progress=progress, executor=executor)
    if target is not None:
        try:
            target.write_text(map_as_csv(found), encoding="utf-8", newline="")
        except OSError as error:
            raise UsageError(f"{target} was not written: {error.strerror}. Choose a folder that you may write to.") from error
    if as_json:
        print_json(map_as_json(project, found))
    elif target is None:
        print_map(project, found, to=sys.stdout)
    else:
        click.echo(f"{found.state.size} cells written to {target}.", err=True)
    if (found.state == BREACH).any():
        return _CODE_OF["breach"]
    return _CODE_OF["clear" if (found.state <= RULED_OUT).all() else "undecided"]


def two_drives(project: "Project", names: Sequence[str]) -> tuple["DriveName", "DriveName"]:
    """The names of two different drives of the project; UsageError where they are not."""
    known = [drive.name for drive in project.drives]
    for name in names:
        if name not in known:
            raise UsageError(f"`{name}` is not one of the drives: {', '.join(known) or 'none; this project has no drives'}.")
    if names[0] == names[1]:
        raise UsageError(f"{names[0]} is given twice. A map needs two different drives.")
    first, second = (drive.name for name in names for drive in project.drives if drive.name == name)
    return first, second


def _own_name() -> str:
    """How this program was called, so that the line can be typed as it stands."""
    called = sys.argv[0]
    return shlex.quote(called) if Path(called).stem == "baysweep" else "baysweep"


def print_json(answer: object) -> None:
    """Print one line of JSON to stdout, names as they are written."""
    click.echo(json.dumps(answer, ensure_ascii=False, allow_nan=False))


@contextmanager
def progress_on_terminal(what: str) -> Iterator[Callable[[float], bool] | None]:
    """A callable that shows the share done on stderr and says whether to go on; None where stderr is no terminal.

    At a terminal the first Ctrl+C asks the sweep to stop and tell what it has, the second one ends the program.
    """
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    columns = (TextColumn("{task.description}"), BarColumn(complete_style="", finished_style=""), TimeElapsedColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as shown, _first_interrupt_asks() as asked:
        task = shown.add_task(what, total=1.0)

        def progress(share: float) -> bool:
            shown.update(task, completed=share)
            return not asked

        yield progress


@contextmanager
def _first_interrupt_asks() -> Iterator[list[int]]:
    """A list that is empty until Ctrl+C is pressed; pressed again it interrupts as usual."""
    asked: list[int] = []

    def note(number: int, _frame: object) -> None:
        asked.append(number)
        signal.signal(signal.SIGINT, before)

    before = signal.signal(signal.SIGINT, note)
    try:
        yield asked
    finally:
        signal.signal(signal.SIGINT, before)


def drive_values(project: "Project", given: Sequence[str]) -> dict["DriveName", float]:
    """All drives' values, home where nothing is given; `given` holds "DRIVE=VALUE". UsageError for what does not fit."""
    values = {drive.name: drive.home for drive in project.drives}
    seen: set[str] = set()
    for word in given:
        name, sign, text = word.rpartition("=")
        drive = next((each for each in project.drives if each.name == name.strip()), None)
        if not sign or drive is None:
            known = ", ".join(values) or "none; this project has no drives"
            raise UsageError(f"`{word}` is not DRIVE=VALUE with one of the drives: {known}.")
        if drive.name in seen:
            raise UsageError(f"{drive.name} is given more than once. Give each drive one value.")
        seen.add(drive.name)
        values[drive.name] = _value_in_travel(text, drive.name, *(drive.stops or (drive.start, drive.end)), unit=drive.unit)
    return values


def _value_in_travel(text: str, name: str, low: float, high: float, *, unit: str) -> float:
    try:
        value = float(text)
    except ValueError:
        raise UsageError(f"`{text}` is not a number. Give {name} a value in {unit}, such as {low:g}.") from None
    if not low <= value <= high:
        raise UsageError(f"{name} cannot stand at {text.strip()}: it reaches from {low:g} to {high:g} {unit}.")
    return value


def samples_folder() -> Path:
    """Where the sample projects lie: beside this module in an installed program, beside `app` in a clone."""
    here = Path(__file__).resolve().parent
    carried = here / "samples"
    return carried if carried.is_dir() else here.parent / "sample_projects"


def sample_files() -> dict[str, Path]:
    """The sample projects by name, sorted."""
    return {path.name.removesuffix(ENDING): path for path in sorted(samples_folder().glob(f"*{ENDING}"))}


@cli.command()
@click.argument("name", required=False)
@click.argument("folder", required=False, default=Path(), type=click.Path(path_type=Path, file_okay=False))
def samples(*, name: str | None, folder: Path) -> None:
    """List the sample projects, or copy the one called NAME into FOLDER (default: here)."""
    if name is None:
        _list_samples()
        return
    found = sample_files()
    source = found.get(name.removesuffix(ENDING))
    if source is None:
        raise UsageError(f"There is no sample called {name}. There are: {', '.join(found)}.")
    target = folder / source.name
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with target.open("xb") as copy:
            copy.write(source.read_bytes())
    except FileExistsError:
        raise UsageError(f"{target} is there already and was left as it is. Name another folder.") from None
    except OSError as fault:
        raise UsageError(f"{target} was not written: {fault.strerror}. Name another folder.") from None
    click.echo(target)


def _list_samples() -> None:
    from app.answer_page import Page
    from core.project_file.read import read_project

    page = Page(sys.stdout)
    page.table(["sample", "shows"], [(name, _first_sentence(read_project(path).notes)) for name, path in sample_files().items()])
    page.gap()
    page.sentence("Copy one with: baysweep samples NAME FOLDER")


def _first_sentence(notes: str) -> str:
    first, stop, _ = notes.partition(". ")
    return first + stop.strip()


def _window_or_list(file: Path | None, project: "Project | None" = None) -> int:
    """Open the window; where there is no display, list the samples or say so. project: what `file` holds."""
    if _has_display():
        from app.jobs.worker import SPARES
        from core.model.validate import is_valid, validate

        # Its start-up takes as long as the window's and goes on beside it; so does the proof.
        SPARES.start(project if project is not None and is_valid(validate(project)) else None)
        with collected_seldom():
            from app.window import open_window

        return open_window(file)
    if file is not None:
        raise UsageError(f"There is no display to open a window on. For the answer alone: baysweep check {file}")
    _list_samples()
    click.echo("Open one on a machine with a display with: baysweep FILE; `baysweep --help` lists what works without.", err=True)
    return 0


def _has_display() -> bool:
    if sys.platform in ("win32", "darwin"):
        return True
    return any(os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"))
