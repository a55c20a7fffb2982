"""A joint in hand, as sentences: what it holds, what drives it, and what moves with it. Pure; rich text."""

from collections.abc import Collection, Sequence

from app.panels.told import Translator, bold, drives_of, number, place
from core.model.joints import Bolted, Joint, PinSlot, Pivot, Slide
from core.model.names import BodyName, DriveName, JointName
from core.model.project import Project, Section
from core.motion.linkage import Linkage, SectionLinkage

MOST_NAMES = 6
"""Bodies told by name; of more the others are counted."""


def joint_kind(joint: Joint, tr: Translator) -> str:
    """What a joint is, in a word or two."""
    match joint:
        case Pivot():
            return tr("pivot")
        case Slide():
            return tr("slide")
        case PinSlot():
            return tr("pin in slot")
        case Bolted():
            return tr("bolted")


def joint_sentences(
    project: Project, section: Section, joint: Joint, linkage: Linkage | None, tr: Translator, *, undriven: Collection[JointName]
) -> tuple[str, ...]:
    """What it holds; what drives it, or what would move if something did. Without a linkage (faults) only the first.

    `undriven`: the joints of the section that still move with every drive locked.
    """
    told = [_holds(joint, tr)]
    if linkage is not None and not isinstance(joint, Bolted):
        told.append(_driven(project, section, joint, linkage, tr, undriven=undriven))
    return tuple(told)


def moved_by(linkage: SectionLinkage, joint: Joint) -> tuple[BodyName, ...]:
    """The bodies that move where the joint does: those beyond it, and all that lies on its loops or is carried by them."""
    looped = {group for loop in linkage.loops if joint.name in loop.joints for group in loop.groups}

    def moves(group: int) -> bool:
        way = linkage.way(group)
        return not looped.isdisjoint(way) or any(step.joint == joint.name for passed in way for step in linkage.steps[passed])

    return tuple(body for number, bodies in enumerate(linkage.groups) if moves(number) for body in bodies)


def _holds(joint: Joint, tr: Translator) -> str:
    first, second = (bold(name) for name in joint.between)
    match joint:
        case Pivot():
            return tr("{second} turns on {first} about {at}.").format(first=first, second=second, at=place(joint.at))
        case Slide():
            along = bold(f"{number(joint.along)}\N{DEGREE SIGN}")
            return tr("{second} slides on {first} along {along}.").format(first=first, second=second, along=along)
        case PinSlot():
            return tr("A pin of {first} runs in a slot of {second}.").format(first=first, second=second)
        case Bolted():
            return tr("{second} and {first} move as one.").format(first=first, second=second)


def _driven(project: Project, section: Section, joint: Joint, linkage: Linkage, tr: Translator, *, undriven: Collection[JointName]) -> str:
    own = linkage.section(section.name)
    if joint.name in own.idle:
        return tr("It does nothing: the two move as one.")
    moved = moved_by(own, joint)
    names = _named(moved, tr)
    drives = drives_of(project, section, joint)
    if drives:
        by = ", ".join(bold(drive.name) for drive in drives)
        told = tr("Driven by {drives}; {bodies} move.") if len(moved) > 1 else tr("Driven by {drives}; {bodies} moves.")
        return told.format(drives=by, bodies=names)
    # At a dead centre a joint of a loop that nothing drives stands still for a moment, and moves all the same.
    round_it = {name for loop in own.loops if joint.name in loop.joints for name in loop.joints}
    if not (round_it | {joint.name}).isdisjoint(undriven):
        return tr("Nothing drives it yet; driven, it moves {bodies}.").format(bodies=names)
    followed = _followed(linkage, own, joint)
    if followed:
        return tr("It follows {drives}.").format(drives=", ".join(bold(name) for name in followed))
    return tr("It does not move.")


def _followed(linkage: Linkage, own: SectionLinkage, joint: Joint) -> tuple[DriveName, ...]:
    indices = sorted({drive for loop in own.loops if joint.name in loop.joints for drive in loop.drives})
    return tuple(linkage.drives[index] for index in indices)


def _named(bodies: Sequence[BodyName], tr: Translator) -> str:
    if not bodies:
        return tr("nothing")
    shown = [bold(name) for name in bodies[:MOST_NAMES]]
    if len(bodies) > MOST_NAMES:
        return tr("{names} and {number} more").format(names=", ".join(shown), number=len(bodies) - MOST_NAMES)
    return shown[0] if len(shown) == 1 else tr("{names} and {last}").format(names=", ".join(shown[:-1]), last=shown[-1])
