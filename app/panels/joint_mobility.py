"""How a section can move, in one line that always shows: drives, freedoms, and by name what is undriven or held by nothing."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QSizePolicy

from app.panels.flow import Flowing
from app.panels.words import Word
from app.theme import Style
from core.model.names import BodyName, JointName
from core.motion.linkage import SectionLinkage
from core.motion.mobility import SectionMobility

Translator = Callable[[str], str]
MOST_LINKS = 12
"""Names in the line; of more the others are counted."""


@dataclass(frozen=True, slots=True)
class Part:
    """A stretch of the line: plain words, or the name of a joint or a body that a press takes in hand."""

    text: str
    joint: JointName | None = None
    body: BodyName | None = None


def mobility_parts(found: SectionMobility, links: SectionLinkage, tr: Translator, *, alone: bool = True) -> tuple[Part, ...]:
    """The line of a section; `alone`: it is the only one, otherwise it is named, since the project may have more drives."""
    drives = _counted(found.drives, "1 drive", "{number} drives", tr)
    if not alone:
        drives = tr("{drives} in {section}").format(drives=drives, section=found.section)
    lasting = [left for left in found.undriven if left.lasting]
    open_there = [left for left in found.undriven if not left.lasting]
    unheld = [body for group in links.unheld for body in links.groups[group]]
    parts: list[Part] = []
    if lasting:
        count = sum(left.freedoms for left in lasting)
        told = _counted(count, "1 freedom undriven", "{number} freedoms undriven", tr)
        parts += [Part(f"{drives}, {told}: "), *_joints([joint for left in lasting for joint in left.joints], tr), Part(".")]
    elif not unheld:
        parts.append(Part(f"{drives}, {_state(found, tr)}."))
    else:
        parts.append(Part(f"{drives}."))
    if unheld:
        parts += [Part(" " + tr("No joint holds") + " "), *_bodies(unheld, tr), Part(".")]
    if open_there:
        parts += [Part(" " + tr("At a dead centre as drawn:") + " ")]
        parts += [*_joints([joint for left in open_there for joint in left.joints], tr), Part(".")]
    if links.idle:
        parts += [Part(" " + tr("Without effect:") + " "), *_joints(links.idle, tr), Part(".")]
    return tuple(parts)


def _state(found: SectionMobility, tr: Translator) -> str:
    freedoms = _counted(found.real, "1 freedom", "{number} freedoms", tr)
    if found.blocked:
        return tr("{freedoms}: blocked as drawn").format(freedoms=freedoms)
    if not found.real:
        return tr("no freedom: nothing moves")
    if found.drives > found.real:
        return tr("{freedoms}: more drives than freedoms").format(freedoms=freedoms)
    if found.drives < found.real:
        # A drive moves several joints.
        return tr("{freedoms}, all driven").format(freedoms=freedoms)
    return tr("{freedoms}: well driven").format(freedoms=freedoms)


def _joints(names: Sequence[JointName], tr: Translator) -> list[Part]:
    return _listed([Part(name, joint=name) for name in dict.fromkeys(names)], tr)


def _bodies(names: Sequence[BodyName], tr: Translator) -> list[Part]:
    return _listed([Part(name, body=name) for name in names], tr)


def _listed(names: list[Part], tr: Translator) -> list[Part]:
    shown = names if len(names) <= MOST_LINKS else names[: MOST_LINKS - 1]
    parts = [part for name in shown for part in (Part(", "), name)][1:]
    more = len(names) - len(shown)
    return [*parts, Part(" " + tr("and {number} more").format(number=more))] if more else parts


def _counted(count: int, one: str, many: str, tr: Translator) -> str:
    return tr(one if count == 1 else many).format(number=count)


class MobilityLine(Flowing):
    """Shows the parts on as many lines as they take; names are links, for the pointer and for Tab and Space."""

    joint_asked = Signal(str)
    body_asked = Signal(str)

    def __init__(self, style: Style) -> None:
        super().__init__(style)
        self._parts: tuple[Part, ...] = ()
        self.links: dict[str, Word] = {}
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setAccessibleName(self.tr("How it can move"))

    def whole(self) -> str:
        """The line as plain text."""
        return "".join(part.text for part in self._parts)

    def say(self, text: str) -> None:
        """Show plain words."""
        self.show_parts((Part(text),) if text else ())

    def show_parts(self, parts: Sequence[Part]) -> None:
        """Show these parts."""
        if tuple(parts) == self._parts:
            return
        self._parts = tuple(parts)
        self.clear()
        self.links = {}
        for part in self._parts:
            if part.joint is None and part.body is None:
                for place, word in enumerate(_words(part.text)):
                    self.flow.add_word(word.replace(" ", "\N{NO-BREAK SPACE}"))
                    if place == 0 and self.links and not word[0].isspace():
                        self.flow.glue()
            else:
                self.flow.addWidget(self._link(part))
        self.setAccessibleDescription(self.whole())
        self.updateGeometry()

    def _link(self, part: Part) -> Word:
        word = Word(self._style, part.text, tone="proved")
        if part.joint is not None:
            word.clicked.connect(lambda _on=False, name=part.joint: self.joint_asked.emit(name))
        elif part.body is not None:
            word.clicked.connect(lambda _on=False, name=part.body: self.body_asked.emit(name))
        self.links[part.text] = word
        return word


def _words(text: str) -> list[str]:
    """Words with the blanks behind them; blanks in front stay with the first."""
    pieces = [f"{piece} " for piece in text.split(" ")]
    pieces[-1] = pieces[-1][:-1]
    return [piece for piece in pieces if piece]
