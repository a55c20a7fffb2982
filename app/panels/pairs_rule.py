"""What is asked of the pairs picked, as a sentence with numbers, and the words that change it: a gap, an exemption with its reason."""

from collections.abc import Callable, Iterable, Sequence
from functools import reduce

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.document.desk import Desk
from app.panels.adjustable import GAP_STEP, Adjustable, Change, Translator
from app.panels.number_sentence import Number, NumberSentence
from app.panels.pairs_words import why_not_checked
from app.panels.rules_reason import ReasonAsk
from app.panels.word_row import Ways, WordRow
from app.panels.words import Word, clear_layout
from app.theme import Style
from core.clearance.rules import asked_of
from core.model.edit_rules import change_asked, delete_gap_rule, exempt_pair, gap_rule_of
from core.model.project import Project
from core.sweep.pair_stands import PairStand

Stands = Sequence[PairStand]


class PairRule(QWidget):
    """Works on the pairs it is shown, all of them in one step of the history."""

    left = Signal()
    """The keyboard is given back: Enter has taken a number."""

    def __init__(self, style: Style, desk: Desk) -> None:
        super().__init__()
        self._style, self._desk = style, desk
        self._stands: tuple[PairStand, ...] = ()
        self._made: object = None
        self._found = Adjustable()
        self.ask: ReasonAsk | None = None
        self.words: dict[str, Word] = {}
        self.setAccessibleName(self.tr("What is asked of the pair"))
        self.sentence = NumberSentence(style)
        self.sentence.tried.connect(lambda key, value: desk.adjusting.try_out(*self._found.change(key, value)))
        self.sentence.committed.connect(self._take)
        self.sentence.left.connect(desk.adjusting.give_back)
        self._row = QWidget()
        row = QVBoxLayout(self._row)
        row.setContentsMargins(0, 0, 0, 0)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.sentence)
        column.addWidget(self._row)

    def show_of(self, stands: Stands, *, words_only: bool = False) -> None:
        """Show what is asked of these pairs, or nothing where there is none; `words_only`: their numbers stand elsewhere."""
        self._stands = tuple(stands)
        self._found = asked_sentence(stands, self.tr)
        self.sentence.say("" if words_only else self._found.text, self._found.numbers, about=self._found.about)
        ways = self._ways()
        made = (self._found.about, tuple(ways))
        if made != self._made:
            self._made = made
            clear_layout(self._row)
            row = WordRow(self._style, "", ways)
            self.words = row.words
            layout = self._row.layout()
            if layout is not None:
                layout.addWidget(row)
        self.setVisible(bool(stands))

    def set_style(self, style: Style) -> None:
        self._style = style

    def take_gap(self) -> bool:
        """Give the keyboard to the first number, where there is one."""
        for number in self._found.numbers[:1]:
            self.sentence.field_of(number.key).setFocus()
            return True
        return False

    def exempt(self) -> None:
        """Ask for the reason why the pairs are not to be checked."""
        project = self._desk.project
        if project is None or not self._stands:
            return
        earlier = [rule.unchecked for rule in project.gap_rules if rule.unchecked]
        first = next((stand.asked.unchecked for stand in self._stands if stand.asked.unchecked), "")
        head = self.tr("Why is {pairs} not to be checked?") if len(self._stands) == 1 else self.tr("Why are {pairs} not to be checked?")
        self.ask = ReasonAsk(
            self._style,
            head.format(pairs=pairs_named(self._stands, self.tr)),
            self.tr("Leave it out of the check") if len(self._stands) == 1 else self.tr("Leave them out of the check"),
            self.window(),
            first=first,
            earlier=earlier,
            note=self.tr("No answer says anything of an exempt pair. Each tells it with this reason."),
        )
        self.ask.given.connect(self._exempt)
        self.ask.finished.connect(self._forget)
        self.ask.ask()

    def check_again(self) -> None:
        """Check exempt pairs again; where a rule for many exempts one, it gets a rule of its own."""

        def again(project: Project, stand: PairStand) -> Project:
            project = delete_gap_rule(project, stand.section, stand.between)
            left = asked_of(project, stand.section, stand.between)
            return project if left.unchecked is None else change_asked(project, stand.section, stand.between, gap=left.gap)

        self._change(self.tr("Check {pairs} again"), again)

    def forget_rule(self) -> None:
        """Let the project ask, or a rule for many, what the pairs' own rules ask."""
        self._change(self.tr("Gap of {pairs} as others"), lambda project, stand: delete_gap_rule(project, stand.section, stand.between))

    def _ways(self) -> Ways:
        project = self._desk.project
        stands = [stand for stand in self._stands if stand.standing != "bolted"]
        if project is None or not stands:
            return {}
        ways: dict[str, tuple[str, Callable[[], object]]] = {}
        exempt = [stand.asked.unchecked is not None for stand in stands]
        if not all(exempt):
            ways["exempt"] = (self.tr("leave it out of the check") if len(stands) == 1 else self.tr("leave them out"), self.exempt)
        if any(exempt):
            ways["check"] = (self.tr("check it again") if len(stands) == 1 else self.tr("check them again"), self.check_again)
        if all(exempt):
            ways["reason"] = (self.tr("another reason"), self.exempt)
        elif any((rule := gap_rule_of(project, stand.section, stand.between)) and rule.unchecked is None for stand in stands):
            ways["forget"] = (self.tr("ask what others keep"), self.forget_rule)
        return ways

    def _take(self, key: str, value: float) -> None:
        self._desk.adjusting.take(*self._found.change(key, value))
        self.left.emit()

    def _exempt(self, reason: str) -> None:
        self._change(self.tr("Leave out {pairs}"), lambda project, stand: exempt_pair(project, stand.section, stand.between, reason=reason))

    def _change(self, text: str, edit: Callable[[Project, PairStand], Project]) -> None:
        stands = [stand for stand in self._stands if stand.standing != "bolted"]
        self._desk.document.change(text.format(pairs=pairs_named(stands, self.tr)), lambda project: reduce(edit, stands, project))

    def _forget(self) -> None:
        self.ask = None


def pairs_named(stands: Stands, tr: Translator) -> str:
    """One pair by its two names; more of them by their number."""
    if len(stands) == 1:
        return tr("{first} and {second}").format(first=stands[0].between[0], second=stands[0].between[1])
    return tr("{number} pairs").format(number=len(stands))


def asked_sentence(stands: Stands, tr: Translator) -> Adjustable:
    """What is asked of pairs, with the numbers that change it for all of them; or why one of them is not checked."""
    about = tuple((stand.section, stand.between) for stand in stands)
    asked = [stand for stand in stands if stand.asked.unchecked is None and stand.standing not in ("still", "fixed", "bolted")]
    if not stands:
        return Adjustable()
    named = _without_braces(pairs_named(stands, tr))
    if not asked:
        why = {why_not_checked(stand, tr) for stand in stands}
        if len(why) == 1:
            return Adjustable(tr("{pairs}: not checked, {why}.").format(pairs=named, why=_without_braces(why.pop())), about=about)
        return Adjustable(tr("{pairs}, none of them checked.").format(pairs=named), about=about)
    text = tr("{pairs}: to keep {gap}, and {depth} where one passes over the other.").replace("{pairs}", named)
    step = tr("Gap of {pairs}").format(pairs=pairs_named(asked, tr))
    gap, depth = asked[0].asked.gap, asked[0].asked.depth_gap
    return Adjustable(
        text,
        (
            Number("gap", gap, tr("{pairs}: required gap").format(pairs=named), step=GAP_STEP),
            Number("depth", depth, tr("{pairs}: required depth gap").format(pairs=named), step=GAP_STEP),
        ),
        (
            ("gap", Change(step, lambda value, project: _asking(project, asked, gap=value))),
            ("depth", Change(step, lambda value, project: _asking(project, asked, depth_gap=value))),
        ),
        about,
    )


def _asking(project: Project, stands: Iterable[PairStand], *, gap: float | None = None, depth_gap: float | None = None) -> Project:
    for stand in stands:
        project = change_asked(project, stand.section, stand.between, gap=gap, depth_gap=depth_gap)
    return project


def _without_braces(text: str) -> str:
    return text.replace("{", "").replace("}", "")
