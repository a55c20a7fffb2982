"""Which numbers of what is in hand can be changed in the side panel, in which sentence, and what a change of each is. Pure."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from msgspec.structs import replace

from app.panels.number_sentence import Number
from core.model.edit_bodies import change_bodies, set_depth
from core.model.edit_drives import change_drive
from core.model.edit_project import set_required
from core.model.edit_rules import change_asked
from core.model.names import BodyName, SectionName
from core.model.project import Body, Drive, Project

Translator = Callable[[str], str]
Edit = Callable[[Project], Project]
DEPTH_STEP, GAP_STEP, TURN_STEP, SHIFT_STEP = 0.5, 0.05, 1.0, 0.5
"""What a notch of the wheel changes: mm of depth, mm of a gap, degrees and mm of travel."""


@dataclass(frozen=True, slots=True)
class Change:
    """A step of the history, named, and what a number does to the project."""

    text: str
    edit: Callable[[float, Project], Project]


@dataclass(frozen=True, slots=True)
class Adjustable:
    """A sentence with numbers; `changes` by their keys. `about` tells whose they are."""

    text: str = ""
    numbers: tuple[Number, ...] = ()
    changes: tuple[tuple[str, Change], ...] = ()
    about: object = None

    def change(self, key: str, value: float) -> tuple[str, Edit]:
        """The step that makes the number `key` be `value`."""
        found = dict(self.changes)[key]
        return found.text, partial(found.edit, value)


def of_body(section: SectionName, body: Body, tr: Translator) -> Adjustable:
    """Depth band and outline tolerance."""
    name, (low, high) = body.name, body.depth
    depth = tr("Depth of {body}").format(body=name)
    return Adjustable(
        tr("From {low} to {high} deep, outline within {tolerance}."),
        (
            Number("low", low, tr("{body}: from this depth").format(body=name), step=DEPTH_STEP),
            Number("high", high, tr("{body}: to this depth").format(body=name), step=DEPTH_STEP),
            Number("tolerance", body.outline_tolerance, tr("{body}: outline tolerance").format(body=name), step=GAP_STEP),
        ),
        (
            ("low", Change(depth, lambda value, project: set_depth(project, section, (name,), (value, high)))),
            ("high", Change(depth, lambda value, project: set_depth(project, section, (name,), (low, value)))),
            (
                "tolerance",
                Change(
                    tr("Outline tolerance of {body}").format(body=name),
                    lambda value, project: change_bodies(project, section, (name,), lambda old: replace(old, outline_tolerance=value)),
                ),
            ),
        ),
        (section, name),
    )


def of_pair(section: SectionName, between: tuple[BodyName, BodyName], required: float, tr: Translator) -> Adjustable:
    """What is asked between two bodies."""
    first, second = between
    return Adjustable(
        tr("Required gap between them is {gap}."),
        (Number("gap", required, tr("{first} and {second}: required gap").format(first=first, second=second), step=GAP_STEP),),
        (
            (
                "gap",
                Change(
                    tr("Gap of {first} and {second}").format(first=first, second=second),
                    lambda value, project: change_asked(project, section, between, gap=value),
                ),
            ),
        ),
        (section, between),
    )


def of_project(project: Project, tr: Translator) -> Adjustable:
    """What is asked of every pair."""
    return Adjustable(
        tr("Every pair is to keep {gap}, unless a rule says otherwise."),
        (Number("gap", project.required_gap, tr("Required gap"), step=GAP_STEP),),
        (("gap", Change(tr("Required gap"), lambda value, project: set_required(project, gap=value))),),
    )


def of_drive(drive: Drive | None, tr: Translator) -> Adjustable:
    """Travel and home of a drive."""
    if drive is None:
        return Adjustable()
    name, unit, step = drive.name, drive.unit, TURN_STEP if drive.unit == "deg" else SHIFT_STEP
    travel = tr("Travel of {drive}").format(drive=name)

    def put(field: str) -> Callable[[float, Project], Project]:
        return lambda value, project: change_drive(project, name, lambda old: replace(old, **{field: value}))

    return Adjustable(
        tr("{drive} from {from} to {to}, home {home}.").replace("{drive}", name.replace("{", "").replace("}", "")),
        (
            Number("from", drive.start, tr("{drive}: travel from").format(drive=name), unit, step),
            Number("to", drive.end, tr("{drive}: travel to").format(drive=name), unit, step),
            Number("home", drive.home, tr("{drive}: home").format(drive=name), unit, step),
        ),
        (
            ("from", Change(travel, put("start"))),
            ("to", Change(travel, put("end"))),
            ("home", Change(tr("Home of {drive}").format(drive=name), put("home"))),
        ),
        name,
    )


def of_bodies(
    project: Project,
    section: SectionName,
    bodies: Sequence[Body],
    asked: float | None,
    pair: tuple[BodyName, BodyName] | None,
    tr: Translator,
) -> Adjustable:
    """The numbers of what is selected: a body's, a pair's, or, with nothing, the project's."""
    if len(bodies) == 1:
        return of_body(section, bodies[0], tr)
    if bodies:
        return of_pair(section, pair, asked, tr) if pair is not None and asked is not None else Adjustable()
    return of_project(project, tr)
