"""The rules of the project in the side panel: what every pair is to keep, rules for many pairs, and rules between drives."""

from collections.abc import Callable
from functools import partial

from msgspec.structs import replace
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app import theme
from app.document.desk import Desk
from app.panels.adjustable import Adjustable
from app.panels.number_sentence import NumberSentence
from app.panels.picker import Picker
from app.panels.rules_reason import ReasonAsk
from app.panels.rules_sentences import (
    ask_of_many,
    is_for_many,
    moved_by,
    new_together,
    of_every_pair,
    of_many,
    of_together,
    pairs_of_drives,
    rule_named,
    together_named,
)
from app.panels.scroll import Scroll
from app.panels.word_row import Ways, WordRow
from app.panels.words import Line, Word, clear_layout
from app.theme import Style
from core.model.edit_rules import add_together, delete_gap_rule, delete_together, put_gap_rule, replace_together
from core.model.names import EVERY_BODY, BodyName
from core.model.project import AllowedTogether, Drive, GapRule, Project
from core.sentences import finding_sentence

MOST_BODIES = 2
"""Bodies in hand that a rule for all their pairs is offered for."""


class Rules(QWidget):
    """Everything it does is one step of the history. Rows are built anew only where what they are of has changed."""

    def __init__(self, style: Style, desk: Desk) -> None:
        super().__init__()
        self._style, self._desk = style, desk
        self._made: object = None
        self._said: dict[str, tuple[NumberSentence, Adjustable]] = {}
        self._faults: dict[str, Line] = {}
        self.words: dict[str, Word] = {}
        self.ask: ReasonAsk | None = None
        self.picker: Picker | None = None
        self.setAccessibleName(self.tr("Rules"))
        self._inner = QWidget()
        self._column = QVBoxLayout(self._inner)
        self._column.setContentsMargins(0, 0, 8, 0)
        self._column.setSpacing(2)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(Scroll(style, self._inner))
        for signal in (desk.project_shown, desk.chosen):
            signal.connect(self.refresh)

    def refresh(self) -> None:
        """Show the rules of the project at hand."""
        project = self._desk.project
        if project is None or not self.isVisible():
            return
        many = [rule for rule in project.gap_rules if is_for_many(rule)]
        bodies = self._bodies(project)
        drives = tuple(drive.name for drive in project.drives)
        made = (
            self._desk.document.opened,
            tuple((rule.section, rule.between, rule.unchecked is None) for rule in many),
            tuple((rule.when.drive, rule.keep.drive, bool(rule.reason)) for rule in project.allowed_together),
            bodies,
            drives,
        )
        if made != self._made:
            self._made = made
            self._build(project, many, bodies)
        self._say("every", of_every_pair(project, self.tr))
        for number, rule in enumerate(many):
            self._say(f"many {number}", of_many(rule, self.tr))
        for index, together in enumerate(project.allowed_together):
            self._say(f"together {index}", of_together(index, together, project, self.tr))
        self._show_faults(project)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.refresh()

    def sentence_of(self, key: str) -> NumberSentence:
        """The sentence of "every", "many N" or "together N"."""
        return self._said[key][0]

    def set_style(self, style: Style) -> None:
        self._style = style

    def _bodies(self, project: Project) -> tuple[BodyName, ...]:
        """The bodies in hand that have no rule for all their pairs."""
        section, picked = self._desk.choice.section, self._desk.choice.bodies
        ruled = {name for rule in project.gap_rules if rule.section == section and is_for_many(rule) for name in rule.between}
        return tuple(name for name in picked if name not in ruled) if len(picked) <= MOST_BODIES else ()

    def _build(self, project: Project, many: list[GapRule], bodies: tuple[BodyName, ...]) -> None:
        clear_layout(self._inner)
        self._said, self._faults, self.words = {}, {}, {}
        self._sentence("every")
        for number, rule in enumerate(many):
            self._sentence(f"many {number}")
            ways: dict[str, tuple[str, Callable[[], object]]] = {}
            if rule.unchecked is not None:
                ways[f"why many {number}"] = (self.tr("another reason"), partial(self._ask_many, rule))
            ways[f"remove many {number}"] = (self.tr("remove the rule"), partial(self._remove_many, rule))
            self._row("", ways)
        for body in bodies:
            head = self.tr("For every pair with {body}:").format(body=body)
            ask, leave = partial(self._ask_of, body), partial(self._leave_out, body)
            self._row(head, {f"gap {body}": (self.tr("a gap of its own"), ask), f"exempt {body}": (self.tr("leave them out"), leave)})
        self._column.addSpacing(6)
        self._column.addWidget(Line(self._style, self.tr("Drives together"), size=theme.TEXT, weight=theme.SEMIBOLD))
        for index, together in enumerate(project.allowed_together):
            self._sentence(f"together {index}")
            why = self.tr("another reason") if together.reason else self.tr("say why")
            say, remove = partial(self._ask_together, index), partial(self._remove_together, index)
            self._row("", {f"why together {index}": (why, say), f"remove together {index}": (self.tr("remove the rule"), remove)})
        self._offer_together(project)
        self._column.addStretch(1)

    def _offer_together(self, project: Project) -> None:
        if len(project.drives) < 2:
            self._tell(self.tr("A rule between drives needs two of them."))
            return
        if not project.allowed_together:
            self._tell(self.tr("All combinations of the drives are checked. A rule leaves those out that your controller never commands."))
        self._row("", {"add together": (self.tr("add a rule between two drives"), self._pick_drives)})

    def _tell(self, text: str) -> None:
        self._column.addWidget(Line(self._style, text, size=theme.DATA, tone="quiet", wrap=True))

    def _sentence(self, key: str) -> None:
        sentence = NumberSentence(self._style)
        adjusting = self._desk.adjusting
        sentence.tried.connect(lambda part, value: adjusting.try_out(*self._said[key][1].change(part, value)))
        sentence.committed.connect(lambda part, value: adjusting.take(*self._said[key][1].change(part, value)))
        sentence.left.connect(adjusting.give_back)
        self._said[key] = (sentence, Adjustable())
        self._column.addWidget(sentence)
        fault = self._faults[key] = Line(self._style, size=theme.DATA, tone="breach", wrap=True)
        fault.hide()
        self._column.addWidget(fault)

    def _say(self, key: str, found: Adjustable) -> None:
        sentence, _old = self._said[key]
        self._said[key] = (sentence, found)
        sentence.say(found.text, found.numbers, about=found.about)

    def _row(self, head: str, ways: Ways) -> None:
        row = WordRow(self._style, head, ways)
        self.words |= row.words
        self._column.addWidget(row)

    def _show_faults(self, project: Project) -> None:
        """What is wrong with a rule stands under it."""
        places = {f"allowed_together[{index}]": f"together {index}" for index in range(len(project.allowed_together))}
        many = [index for index, rule in enumerate(project.gap_rules) if is_for_many(rule)]
        places |= {f"gap_rules[{index}]": f"many {number}" for number, index in enumerate(many)}
        places |= {"required_gap": "every", "required_depth_gap": "every"}
        told: dict[str, list[str]] = {}
        for finding in self._desk.document.findings:
            key = places.get(finding.place.path.partition(".")[0])
            if key is not None and finding.level == "error":
                told.setdefault(key, []).append(finding_sentence(finding, self.tr))
        for key, line in self._faults.items():
            line.say(" ".join(told.get(key, ())))
            line.setVisible(key in told)

    def _ask_of(self, body: BodyName) -> None:
        section = self._desk.choice.section
        if section is not None:
            self._change(self.tr("Gap of every pair with {body}").format(body=body), ask_of_many(section, body))

    def _leave_out(self, body: BodyName) -> None:
        section = self._desk.choice.section
        if section is not None:
            rule = GapRule(section=section, between=(body, EVERY_BODY))
            self._ask_many(rule)

    def _ask_many(self, rule: GapRule) -> None:
        named = rule_named(rule, self.tr)
        one = next((name for name in rule.between if name != EVERY_BODY), None)
        text = self.tr("Leave out: {pairs}").format(pairs=named)

        def given(reason: str) -> None:
            if one is not None:
                self._change(text, ask_of_many(rule.section, one, reason=reason))
            else:
                self._change(text, lambda project: put_gap_rule(project, replace(rule, unchecked=reason)))

        note = self.tr("No answer says anything of exempt pairs. Each tells them with this reason.")
        self._open_ask(
            self.tr("{pairs}: why not check them?").format(pairs=named), self.tr("Leave them out"), rule.unchecked or "", note, given
        )

    def _remove_many(self, rule: GapRule) -> None:
        text = self.tr("Remove the rule: {pairs}").format(pairs=rule_named(rule, self.tr))
        self._change(text, lambda project: delete_gap_rule(project, rule.section, rule.between))

    def _pick_drives(self) -> None:
        project = self._desk.project
        if project is None:
            return
        drives = project.drives
        self.picker = Picker(
            self._style,
            self.tr("A rule between two drives"),
            pairs_of_drives(drives, self.tr),
            self.window(),
            note=self.tr("It begins with both whole travels and forbids nothing; its numbers say what is left out."),
            take=self.tr("Add the rule"),
        )
        self.picker.picked.connect(lambda key: self._add_together(*moved_by(drives, key)))
        self.picker.finished.connect(self._forget)
        self.picker.show_picker()

    def _add_together(self, when: Drive, keep: Drive) -> None:
        rule = new_together(when, keep)
        self._change(
            self.tr("Add a rule between {when} and {keep}").format(when=when.name, keep=keep.name), lambda p: add_together(p, rule)
        )

    def _ask_together(self, index: int) -> None:
        rule = self._together(index)
        if rule is None:
            return
        head = self.tr("{rule}: why are the other combinations left out?").format(rule=together_named(rule, self.tr))

        def given(reason: str) -> None:
            self._change(
                self.tr("Reason of a rule between {when} and {keep}").format(when=rule.when.drive, keep=rule.keep.drive),
                lambda project: replace_together(project, index, replace(project.allowed_together[index], reason=reason)),
            )

        self._open_ask(
            head, self.tr("Take the reason"), rule.reason, self.tr("It is told beside what the answer leaves out."), given, needed=False
        )

    def _remove_together(self, index: int) -> None:
        rule = self._together(index)
        if rule is not None:
            text = self.tr("Remove the rule between {when} and {keep}").format(when=rule.when.drive, keep=rule.keep.drive)
            self._change(text, lambda project: delete_together(project, index))

    def _together(self, index: int) -> AllowedTogether | None:
        """The rule at a place, of the state at the press."""
        project = self._desk.document.at_press
        return project.allowed_together[index] if project is not None and index < len(project.allowed_together) else None

    def _open_ask(self, head: str, done: str, first: str, note: str, given: Callable[[str], None], *, needed: bool = True) -> None:
        project = self._desk.project
        earlier = [rule.unchecked for rule in project.gap_rules if rule.unchecked] if project is not None and needed else []
        self.ask = ReasonAsk(self._style, head, done, self.window(), first=first, earlier=earlier, needed=needed, note=note)
        self.ask.given.connect(given)
        self.ask.finished.connect(self._forget)
        self.ask.ask()

    def _change(self, text: str, edit: Callable[[Project], Project]) -> None:
        self._desk.document.change(text, edit)

    def _forget(self) -> None:
        self.ask = self.picker = None
