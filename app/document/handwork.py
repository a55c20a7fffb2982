"""What the user does to bodies by keys and numbers: each one step of the history, with a name that says what went along."""

import dataclasses
from collections.abc import Callable

from PySide6.QtCore import QObject

from app.document.choice import Choice, section_named
from app.document.clipboard import copied_fragment, copy_fragment
from app.document.document import Document
from app.document.what_went import with_what_went
from core.model.deleted import Deleted
from core.model.edit import rename_body
from core.model.edit_bodies import delete_bodies, reorder_body, set_fixed, show_bodies
from core.model.edit_joints import delete_joints
from core.model.edit_placing import duplicate_bodies, mirror_copy, place_bodies
from core.model.fragment import Fragment, fragment_of
from core.model.fresh_names import fresh_name
from core.model.lookup import section_of
from core.model.middle import middle_of_bodies
from core.model.names import BodyName, JointName, SectionName
from core.model.pasting import Drives, Pasted, pasted
from core.model.placing import Placing, mirroring, moving
from core.model.project import Project, Section
from core.model.repeat import Repeated, repeat_along, repeat_round
from core.model.shapes import Point

STEP_ASIDE: Point = (5.0, -5.0)
"""mm by which a copy is set beside what it was made of, so that it is seen."""


class Handwork(QObject):
    """Works on the bodies picked in the section shown. Every method says whether it changed anything."""

    def __init__(self, document: Document, choice: Choice, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._choice = choice
        self._pastes = 0

    @property
    def section(self) -> Section | None:
        """The section shown, of the state at the press."""
        return section_named(self._document.at_press, self._choice.section)

    @property
    def picked(self) -> tuple[BodyName, ...]:
        """The bodies picked that are there."""
        there = {body.name for body in self.section.bodies} if self.section else set()
        return tuple(name for name in self._choice.bodies if name in there)

    def middle(self) -> Point:
        """The middle of what is picked, mm; of the whole section where nothing is."""
        if self.section is None:
            return (0.0, 0.0)
        picked = frozenset(self.picked)
        bodies = [body for body in self.section.bodies if body.name in picked]
        return middle_of_bodies(bodies or self.section.bodies)

    def select_all(self) -> None:
        """Pick every body of the section that is not hidden or held."""
        if self.section is not None:
            self._choice.pick_bodies(tuple(body.name for body in self.section.bodies if not (body.view.hidden or body.view.held)))

    def delete(self) -> bool:
        """Delete what is picked, with what refers to it: the joint in hand, or bodies."""
        if self._choice.joint is not None:
            return self._delete_joint(self._choice.joint)
        return self._delete(self.tr("Delete {names}"))

    def _delete_joint(self, joint: JointName) -> bool:
        project, section = self._document.project, self.section
        if project is None or section is None or all(one.name != joint for one in section.joints):
            return False
        deleted = delete_joints(project, section.name, (joint,))
        # The joint itself stands in the step's name already.
        gone = dataclasses.replace(deleted.gone, joints=())
        text = with_what_went(self.tr("Delete {name}").format(name=joint), gone, self.tr)
        return self._document.change(text, lambda _project: deleted.project)

    def cut(self) -> bool:
        """Copy what is picked, and delete it."""
        return self.copy() and self._delete(self.tr("Cut {names}"))

    def copy(self) -> bool:
        """Put what is picked on the clipboard, with its joints, drives and rules."""
        project, section = self._document.project, self.section
        if project is None or section is None or not self.picked:
            return False
        copy_fragment(fragment_of(project, section.name, self.picked))
        self._pastes = 0
        return True

    def paste(self, *, middle_at: Point | None = None) -> bool:
        """Paste the clipboard into the section shown; `middle_at` puts its middle there. Raises BaysweepError, with a sentence."""
        fragment = copied_fragment()
        self._pastes += 1
        if middle_at is None:
            placing = moving(shift=(STEP_ASIDE[0] * self._pastes, STEP_ASIDE[1] * self._pastes))
        else:
            x, y = middle_of_bodies(fragment.sections[0].bodies)
            placing = moving(shift=(middle_at[0] - x, middle_at[1] - y))
        return self.put_in(fragment, placing=placing, text=self.tr("Paste {names}"))

    def put_in(self, fragment: Fragment, *, placing: Placing, onto: BodyName | None = None, text: str = "") -> bool:
        """Put a fragment into the section shown: from the clipboard, or from the stores, `onto` what carries it."""

        def put(project: Project, section: SectionName) -> Pasted:
            return pasted(project, section, fragment, placing=placing, onto=onto)

        return self._copies(text or self.tr("Set down {names}"), put)

    def duplicate(self) -> bool:
        """A copy of what is picked, beside it."""
        return self._copies(self.tr("Duplicate {names}"), lambda p, s: duplicate_bodies(p, s, self.picked, shift=STEP_ASIDE))

    def mirror(self, *, about: Point, along: float = 90.0, copy: bool = False) -> bool:
        """Mirror what is picked in the line through `about`, `along` degrees, or a copy of it."""
        line = mirroring(about=about, along=along)
        if copy:
            return self._copies(self.tr("Mirror a copy of {names}"), lambda p, s: mirror_copy(p, s, self.picked, line))
        return self._change(self.tr("Mirror {names}"), lambda p, s: place_bodies(p, s, self.picked, line))

    def place(self, text: str, placing: Placing) -> bool:
        """Move, turn or scale what is picked."""
        return self._change(text, lambda p, s: place_bodies(p, s, self.picked, placing))

    def hide(self, *, hidden: bool) -> bool:
        """Hide what is picked, or show every body again."""
        if hidden:
            return self._change(self.tr("Hide {names}"), lambda p, s: show_bodies(p, s, self.picked, hidden=True))
        return self._change(self.tr("Show every body"), lambda p, s: show_bodies(p, s, _all(p, s), hidden=False), anything=False)

    def hold(self, *, held: bool) -> bool:
        """Hold what is picked in its place, or let every body be dragged again."""
        if held:
            return self._change(self.tr("Hold {names} in place"), lambda p, s: show_bodies(p, s, self.picked, held=True))
        return self._change(self.tr("Let every body be moved"), lambda p, s: show_bodies(p, s, _all(p, s), held=False), anything=False)

    def fix(self) -> bool:
        """Make what is picked fixed; moving, where all of it is fixed already."""
        fixed = {body.name for body in self.section.bodies if body.fixed} if self.section else set()
        if fixed.issuperset(self.picked):
            return self._change(self.tr("Make {names} moving"), lambda p, s: set_fixed(p, s, self.picked, fixed=False))
        return self._change(self.tr("Make {names} fixed"), lambda p, s: set_fixed(p, s, self.picked, fixed=True))

    def reorder(self, by: int) -> bool:
        """Put what is picked earlier (-1) or later (1) in the list of bodies, in the order it has; what stands at the end stays."""

        def moved(project: Project, section: SectionName) -> Project:
            names = [body.name for body in section_of(project, section).bodies]
            for name in names if by < 0 else reversed(names):
                there = [body.name for body in section_of(project, section).bodies]
                to = there.index(name) + by
                if name in self.picked and 0 <= to < len(there) and there[to] not in self.picked:
                    project = reorder_body(project, section, name, to=to)
            return project

        return self._change(self.tr("Reorder {names}"), moved)

    def round_of(self, project: Project, *, centre: Point, count: int, step: float | None, drives: Drives) -> Repeated | None:
        """What repeating round would give of `project`; None where nothing is picked."""
        if self.section is None or not self.picked:
            return None
        return repeat_round(project, self.section.name, self.picked, centre=centre, count=count, step=step, drives=drives)

    def along_of(self, project: Project, *, by: Point, count: int, drives: Drives) -> Repeated | None:
        """What repeating along a line would give of `project`; None where nothing is picked."""
        if self.section is None or not self.picked:
            return None
        return repeat_along(project, self.section.name, self.picked, by=by, count=count, drives=drives)

    def rename(self, body: BodyName, name: str) -> bool:
        """Call a body otherwise; a taken name gives the next free one."""
        section, chosen = self.section, self._choice.bodies
        if section is None:
            return False
        others = [one.name for one in section.bodies if one.name != body]
        new = BodyName(fresh_name(name, others))

        def renamed(project: Project) -> Project:
            return rename_body(project, section.name, body, new)

        done = self._document.change(self.tr("Rename {old} to {new}").format(old=body, new=new), renamed)
        if done and body in chosen:
            self._choice.pick_bodies(tuple(new if one == body else one for one in chosen))
        return done

    def names(self) -> str:
        """What is picked, in words for the name of a step."""
        picked = self.picked
        return picked[0] if len(picked) == 1 else self.tr("{number} bodies").format(number=len(picked))

    def _delete(self, text: str) -> bool:
        project, section = self._document.project, self.section
        if project is None or section is None or not self.picked:
            return False
        deleted: Deleted = delete_bodies(project, section.name, self.picked)
        told = with_what_went(text.format(names=self.names()), deleted.gone, self.tr)
        return self._document.change(told, lambda _project: deleted.project)

    def _change(self, text: str, edit: Callable[[Project, SectionName], Project], *, anything: bool = True) -> bool:
        section = self.section
        if section is None or (anything and not self.picked):
            return False
        return self._document.change(text.format(names=self.names()), lambda project: edit(project, section.name))

    def _copies(self, text: str, edit: Callable[[Project, SectionName], Pasted]) -> bool:
        section, project = self.section, self._document.at_press
        if section is None or project is None:
            return False
        done = edit(project, section.name)
        names = done.bodies[0] if len(done.bodies) == 1 else self.tr("{number} bodies").format(number=len(done.bodies))
        changed = self._document.change(text.format(names=names), lambda _project: done.project)
        if changed:
            self._choice.pick_bodies(done.bodies)
        return changed


def _all(project: Project, section: SectionName) -> tuple[BodyName, ...]:
    return tuple(body.name for body in section_of(project, section).bodies)
