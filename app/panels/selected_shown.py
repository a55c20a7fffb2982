"""What is selected, in the side panel, in sentences and numbers; and the list of all bodies."""

from collections.abc import Sequence

from PySide6.QtCore import QObject

from app.document.choice import body_named
from app.document.desk import Desk
from app.drawing.joints_step import JointsStep
from app.panels import told
from app.panels.joint_told import joint_kind, joint_sentences
from app.panels.numbers import Numbers
from app.panels.side_panel import SidePanel
from app.shown_in_turns import ShownInTurns
from app.theme import Style
from core.model.joints import Joint
from core.model.project import Body, Project, Section


class SelectedShown(QObject):
    """Tells the panel; what the numbers ask for goes to the desk through `Numbers`."""

    def __init__(self, desk: Desk, panel: SidePanel, joints_step: JointsStep, parent: QObject) -> None:
        super().__init__(parent)
        self._desk, self._panel, self._joints_step = desk, panel, joints_step
        self._numbers = Numbers(desk, panel, self)
        self._listed: list[tuple[Body, str]] = []
        self._told_of: tuple[Body, ...] = ()
        self._in_turns = ShownInTurns(desk, panel, self)

    def show(self, section: Section | None, style: Style, *, full: bool) -> None:
        """Show what is selected in `section`. full: with the notes of the project where nothing is."""
        desk = self._desk
        if desk.project is None or section is None:
            return
        bodies = [body for name in desk.choice.bodies if (body := body_named(section, name)) is not None]
        joint = next((one for one in section.joints if one.name == desk.choice.joint), None)
        if joint is not None:
            self._show_joint(desk.project, section, joint)
        elif len(bodies) == 1:
            kind, tint = told.kind(section, bodies[0], style, self.tr)
            sentences = told.body_sentences(desk.project, section, bodies[0], self.tr)
            self._panel.selected.show_selected(bodies[0].name, kind, tint=tint, tinted=True, sentences=sentences)
        elif bodies:
            head = " \N{MIDDLE DOT} ".join(body.name for body in bodies)
            self._say(head, told.several_sentences(desk.project, section, bodies, self.tr))
        else:
            self._say(desk.project.name, told.project_sentences(desk.project, self.tr, full=full))
        of, self._told_of = self._told_of, tuple(bodies)
        if desk.document.in_gesture and (self._in_turns.busy or [body.name for body in of] != [body.name for body in bodies]):
            # The fields of another body are built anew, and with many bodies their names are laid out anew: most of a frame each.
            self._in_turns.begin(self._show_numbers, self._make_room, self._show_work)
        else:
            self._in_turns.clear()
            self._show_numbers()
            self._show_work()

    def _show_numbers(self) -> None:
        self._numbers.show_of(self._told_of)

    def _make_room(self) -> None:
        self._panel.make_room(self._told_of)

    def _show_work(self) -> None:
        self._panel.show_work(self._told_of)

    def show_list(self, section: Section | None) -> None:
        """Show all bodies of `section`, those selected marked; what is said of a body that an edit left as it was is kept."""
        if section is None:
            return
        known = {id(body): said for body, said in self._listed}
        # the list before is let go of only now: no body that comes may have the identity of one that goes
        self._listed = [(body, known.get(id(body)) or told.kind_sentence(body, self.tr)) for body in section.bodies]
        self._panel.bodies.show_names([(body.name, said) for body, said in self._listed], picked=self._desk.choice.bodies)

    def _show_joint(self, project: Project, section: Section, joint: Joint) -> None:
        undriven = self._joints_step.hands.undriven()
        sentences = joint_sentences(project, section, joint, self._desk.linkage, self.tr, undriven=undriven)
        self._say(joint.name, sentences, kind=joint_kind(joint, self.tr))

    def _say(self, head: str, sentences: Sequence[str], *, kind: str = "") -> None:
        self._panel.selected.show_selected(head, kind, tint=None, tinted=False, sentences=sentences)
