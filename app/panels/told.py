"""What is selected, as sentences with numbers: pure functions of the project, numbers in bold for rich text."""

from collections.abc import Callable, Iterable, Sequence
from html import escape

from app.theme import Style
from core.model.joints import Bolted, Joint, PinSlot, Pivot, Slide
from core.model.names import BodyName
from core.model.project import Body, Drive, Project, Section
from core.sentences import degree_sign, plain
from core.sentences.numbers import exact_mm

Translator = Callable[[str], str]
DEGREES = degree_sign(plain)
PAIR = 2


def number(value: float) -> str:
    """A length without its unit, as the file keeps it: at most six decimals, no zeros behind."""
    text = f"{value:.6f}".rstrip("0").rstrip(".")
    return ("0" if text in ("-0", "") else text).replace("-", "\N{MINUS SIGN}")


def bold(text: str) -> str:
    """Text in bold, its signs escaped for rich text."""
    return f"<b>{escape(text)}</b>"


def place(point: tuple[float, float]) -> str:
    """A point in mm to a hundredth, "(-39.9, 13)"."""
    return bold(f"({number(round(point[0], 2))}, {number(round(point[1], 2))})")


def body_sentences(project: Project, section: Section, body: Body, tr: Translator) -> tuple[str, ...]:
    """What moves it, and how far its sizes are to be trusted: rich text, a sentence each."""
    told = [_joint_of(project, section, body, joint, tr) for joint in joints_of(section, body.name)]
    if body.trust:
        told.append(tr("Its sizes are {trust}.").format(trust=bold(tr(body.trust))))
    return tuple(sentence for sentence in told if sentence)


def kind(section: Section, body: Body, style: Style, tr: Translator) -> tuple[str, str | None]:
    """What a body is, "moving, in lagoon" or "fixed", and its tint; None for a fixed one."""
    if body.fixed:
        return tr("fixed"), None
    movers = [other.name for other in section.bodies if not other.fixed]
    order = movers.index(body.name)
    name = style.tint_name(body.view.colour, order=order)
    return tr("moving, in {tint}").format(tint=name), style.body_tint(body.view.colour, order=order)


def kind_sentence(body: Body, tr: Translator) -> str:
    """One body of a list: fixed or moving, and its depth."""
    low, high = (bold(number(value)) for value in body.depth)
    template = tr("fixed, from {low} to {high} mm deep") if body.fixed else tr("moving, from {low} to {high} mm deep")
    return template.format(low=low, high=high)


def several_sentences(project: Project, section: Section, bodies: Sequence[Body], tr: Translator) -> tuple[str, ...]:
    """A pair with what moves each of the two; more bodies are only counted."""
    if len(bodies) != PAIR:
        return (tr("{number} bodies selected.").format(number=len(bodies)),)
    return tuple(f"{bold(body.name)}: {_depth(body, tr)} {_moved_by(project, section, body, tr)}" for body in bodies)


def _moved_by(project: Project, section: Section, body: Body, tr: Translator) -> str:
    joints = [joint for joint in joints_of(section, body.name) if joint.between[1] == body.name]
    return " ".join(_joint_of(project, section, body, joint, tr) for joint in joints)


def project_sentences(project: Project, tr: Translator, *, full: bool) -> tuple[str, ...]:
    """What is said while nothing is selected: the project's notes, or what to do."""
    if full and project.notes:
        return (escape(project.notes),)
    if not any(section.bodies for section in project.sections):
        return (tr("Nothing is drawn yet."),)
    return (tr("Pick a body on the board, or a pair in the timeline."),)


def joints_of(section: Section, body: BodyName) -> tuple[Joint, ...]:
    """The joints that hold a body, as reference or as moved."""
    return tuple(joint for joint in section.joints if body in joint.between)


def _depth(body: Body, tr: Translator) -> str:
    low, high = (bold(number(value)) for value in body.depth)
    told = tr("From {low} to {high} mm deep").format(low=low, high=high)
    if body.outline_tolerance:
        return tr("{depth}, outline within {tolerance}.").format(depth=told, tolerance=bold(exact_mm(body.outline_tolerance, plain)))
    return f"{told}."


def _joint_of(project: Project, section: Section, body: Body, joint: Joint, tr: Translator) -> str:
    other = joint.between[1] if joint.between[0] == body.name else joint.between[0]
    by = drives_of(project, section, joint)
    moved = _with(by, tr) if joint.between[1] == body.name else ""
    if isinstance(joint, Bolted):
        return tr("Bolted to {other}.").format(other=bold(other))
    if isinstance(joint, Pivot):
        told = tr("Turns{moved} about {at} on {other}.")
    elif isinstance(joint, Slide):
        told = tr("Slides{moved} along {along} at {at} on {other}.")
    else:
        told = tr("Pinned to {other} by a slot along {along} at {at}.")
    along = bold(f"{number(joint.along)}\N{DEGREE SIGN}") if isinstance(joint, Slide | PinSlot) else ""
    return told.format(moved=moved, at=place(joint.at), other=bold(other), along=along)


def _with(drives: Iterable[Drive], tr: Translator) -> str:
    names = [bold(drive.name) for drive in drives]
    return tr(" with {drives}").format(drives=", ".join(names)) if names else ""


def drives_of(project: Project, section: Section, joint: Joint) -> tuple[Drive, ...]:
    """The drives that move a joint."""
    return tuple(
        drive for drive in project.drives if any(move.section == section.name and move.joint == joint.name for move in drive.moves)
    )
