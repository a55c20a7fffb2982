"""How are the bodies of a section changed? Edits of bodies, but for their shapes and places."""

from collections.abc import Callable, Collection

import msgspec

from core.model.deleted import Deleted, Gone
from core.model.edit import in_section, rename_body, replace_body
from core.model.edit_joints import delete_joints
from core.model.fresh_names import fresh_name
from core.model.lookup import body_of, section_of
from core.model.names import BodyName, SectionName
from core.model.project import Body, Project, Section
from core.model.reordered import reordered
from core.model.rounding import rounded
from core.model.shapes import Band


def free_body_name(project: Project, section: SectionName, wanted: str) -> BodyName:
    """`wanted`, or the next name like it that no body of the section has."""
    return BodyName(fresh_name(wanted, (body.name for body in section_of(project, section).bodies)))


def add_body(project: Project, section: SectionName, body: Body) -> Project:
    """Put a body at the end of a section, by a free name like its own (see `free_body_name`)."""
    new = rounded(msgspec.structs.replace(body, name=free_body_name(project, section, body.name)))
    return in_section(project, section, lambda old: msgspec.structs.replace(old, bodies=(*old.bodies, new)))


def put_body(project: Project, section: SectionName, name: BodyName, new: Body) -> Project:
    """Put `new` in the place of a body; where it is called otherwise, references follow (a taken name gives the next free)."""
    if new.name != name:
        others = (body.name for body in section_of(project, section).bodies if body.name != name)
        new = msgspec.structs.replace(new, name=BodyName(fresh_name(new.name, others)))
    changed = replace_body(project, section, name, msgspec.structs.replace(new, name=name))
    return rename_body(changed, section, name, new.name)


def change_bodies(project: Project, section: SectionName, names: Collection[BodyName], change: Callable[[Body], Body]) -> Project:
    """Put `change(body)` in the place of each body called `names`; see `put_body`. KeyError where one is not there."""
    for name in names:
        project = put_body(project, section, name, change(body_of(section_of(project, section), name)))
    return project


def set_fixed(project: Project, section: SectionName, names: Collection[BodyName], *, fixed: bool) -> Project:
    """Make bodies part of the bay, or moving."""
    return change_bodies(project, section, names, lambda body: msgspec.structs.replace(body, fixed=fixed))


def set_depth(project: Project, section: SectionName, names: Collection[BodyName], depth: Band) -> Project:
    """Give bodies another depth band, [low, high] mm; shapes with a band of their own keep it."""
    return change_bodies(project, section, names, lambda body: msgspec.structs.replace(body, depth=depth))


def shift_depth(project: Project, section: SectionName, names: Collection[BodyName], by: float) -> Project:
    """Shift bodies by `by` mm across the section, with the bands of their shapes."""

    def shifted(body: Body) -> Body:
        shapes = tuple(
            shape if shape.depth is None else msgspec.structs.replace(shape, depth=_band_shifted(shape.depth, by)) for shape in body.shapes
        )
        return msgspec.structs.replace(body, depth=_band_shifted(body.depth, by), shapes=shapes)

    return change_bodies(project, section, names, shifted)


def show_bodies(
    project: Project,
    section: SectionName,
    names: Collection[BodyName],
    *,
    hidden: bool | None = None,
    held: bool | None = None,
) -> Project:
    """Hide or show bodies, hold them in their place or let them be dragged; None leaves one as it is."""

    def shown(body: Body) -> Body:
        view = body.view
        view = view if hidden is None else msgspec.structs.replace(view, hidden=hidden)
        view = view if held is None else msgspec.structs.replace(view, held=held)
        return msgspec.structs.replace(body, view=view)

    return change_bodies(project, section, names, shown)


def colour_bodies(project: Project, section: SectionName, names: Collection[BodyName], colour: str | None) -> Project:
    """Show bodies in a colour of their own (None: the tint they are given)."""

    def coloured(body: Body) -> Body:
        return msgspec.structs.replace(body, view=msgspec.structs.replace(body.view, colour=colour))

    return change_bodies(project, section, names, coloured)


def reorder_body(project: Project, section: SectionName, name: BodyName, *, to: int) -> Project:
    """Put a body at the place `to` in its section, from 0: later ones are drawn over earlier ones."""

    def order(old: Section) -> Section:
        return msgspec.structs.replace(old, bodies=reordered(old.bodies, body_of(old, name), to))

    return in_section(project, section, order)


def delete_bodies(project: Project, section: SectionName, names: Collection[BodyName]) -> Deleted:
    """Delete bodies, with the joints and gap rules that name them, and drives that had nothing else to move."""
    old = section_of(project, section)
    for name in names:
        body_of(old, name)
    joints = tuple(joint.name for joint in old.joints if set(joint.between) & set(names))
    deleted = delete_joints(project, section, joints)
    rules = tuple(rule for rule in project.gap_rules if rule.section == section and set(rule.between) & set(names))
    left = in_section(
        deleted.project,
        section,
        lambda before: msgspec.structs.replace(before, bodies=tuple(body for body in before.bodies if body.name not in names)),
    )
    left = msgspec.structs.replace(left, gap_rules=tuple(rule for rule in left.gap_rules if rule not in rules))
    gone = Gone(bodies=tuple(body.name for body in old.bodies if body.name in names), gap_rules=rules)
    return Deleted(left, gone.and_also(deleted.gone))


def _band_shifted(band: Band, by: float) -> Band:
    return (band[0] + by, band[1] + by)
