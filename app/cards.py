"""The cards of the window: repeat round, repeat along, move, turn, scale, mirror by number, and the size of a new bay's wall.

Each is one gesture: what the numbers would do is seen while they are typed, and Done makes it one step of the history.
"""

from collections.abc import Callable, Sequence

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QWidget

from app.document.desk import Desk
from app.panels.card import Asked, Card, Values
from app.theme import Style
from core.model.edit_bodies import add_body
from core.model.edit_placing import place_bodies
from core.model.edit_project import DEPTH, WALL, bay_wall
from core.model.names import BodyName
from core.model.pasting import Drives, Pasted
from core.model.placing import Placing, mirroring, moving, scaling
from core.model.project import Project

Made = tuple[Project, tuple[BodyName, ...]]
"""The project that a card makes, and the bodies to pick in it."""


def tr(text: str) -> str:
    """In the user's language."""
    return QCoreApplication.translate("Cards", text)


class Cards:
    """Opens cards over `window` for the bodies picked on `desk`; `style` is asked when a card opens."""

    def __init__(self, desk: Desk, window: QWidget, style: Callable[[], Style]) -> None:
        self._desk = desk
        self.window = window
        self.style = style
        self.card: Card | None = None

    def repeat_round(self) -> None:
        """Copies about a centre."""
        x, y = self._desk.handwork.middle()
        asked = (
            Asked("count", tr("How many in all"), 5, "count"),
            Asked("x", tr("Centre, to the right"), x),
            Asked("y", tr("Centre, up"), y - 50.0),
            Asked("step", tr("Apart (0: spread over the full turn)"), 0.0, "deg"),
            Asked("shared", tr("Moved by the same drives"), 0.0, "switch"),
        )

        def make(at: Values) -> Made | None:
            project = self._desk.document.at_press
            if project is None:
                return None
            done = self._desk.handwork.round_of(
                project, centre=(at["x"], at["y"]), count=int(at["count"]), step=at["step"] or None, drives=_drives(at)
            )
            return (done.project, self._with_copies(done.copies)) if done else None

        self.open(tr("Repeat round a centre"), asked, tr("Repeat {names} round").format(names=self._desk.handwork.names()), make)

    def repeat_along(self) -> None:
        """Copies along a line."""
        asked = (
            Asked("count", tr("How many in all"), 3, "count"),
            Asked("x", tr("From each to the next, to the right"), 30.0),
            Asked("y", tr("From each to the next, up"), 0.0),
            Asked("shared", tr("Moved by the same drives"), 0.0, "switch"),
        )

        def make(at: Values) -> Made | None:
            project = self._desk.document.at_press
            if project is None:
                return None
            done = self._desk.handwork.along_of(project, by=(at["x"], at["y"]), count=int(at["count"]), drives=_drives(at))
            return (done.project, self._with_copies(done.copies)) if done else None

        self.open(tr("Repeat along a line"), asked, tr("Repeat {names} along").format(names=self._desk.handwork.names()), make)

    def move(self) -> None:
        """Move by number."""
        asked = (Asked("x", tr("To the right"), 0.0), Asked("y", tr("Up"), 0.0))
        self._place(tr("Move by number"), asked, tr("Move {names}"), lambda at: moving(shift=(at["x"], at["y"])))

    def turn(self) -> None:
        """Turn by number."""
        asked = (Asked("turn", tr("Turn, counter-clockwise"), 0.0, "deg"), *self._about())
        self._place(tr("Turn by number"), asked, tr("Turn {names}"), lambda at: moving(turn=at["turn"], about=(at["x"], at["y"])))

    def scale(self) -> None:
        """Scale by number; depth bands stay."""
        asked = (Asked("by", tr("Scale to"), 100.0, "percent"), *self._about())
        note = tr("Depth bands, play and outline tolerance stay as they are.")
        self._place(tr("Scale by number"), asked, tr("Scale {names}"), lambda at: scaling(at["by"] / 100.0, about=(at["x"], at["y"])), note)

    def mirror(self) -> None:
        """Mirror in a line by number."""
        asked = (Asked("along", tr("Direction of the mirror line"), 90.0, "deg"), *self._about())
        self._place(tr("Mirror in a line"), asked, tr("Mirror {names}"), lambda at: mirroring(about=(at["x"], at["y"]), along=at["along"]))

    def bay(self) -> None:
        """The wall of a new bay, by its free inside."""
        asked = (
            Asked("width", tr("Free inside, across"), 80.0),
            Asked("height", tr("Free inside, up"), 50.0),
            Asked("wall", tr("Wall"), WALL),
            Asked("low", tr("From, deep"), DEPTH[0]),
            Asked("high", tr("To, deep"), DEPTH[1]),
        )

        def make(at: Values) -> Made | None:
            project, section = self._desk.document.at_press, self._desk.handwork.section
            if project is None or section is None:
                return None
            wall = bay_wall((at["width"], at["height"]), wall=at["wall"], depth=(at["low"], at["high"]))
            made = add_body(project, section.name, wall)
            new = next(one for one in made.sections if one.name == section.name).bodies[-1].name
            return made, (new,)

        self.open(tr("Draw the bay's wall"), asked, tr("Draw the bay's wall"), make)

    def _about(self) -> tuple[Asked, Asked]:
        x, y = self._desk.handwork.middle()
        return (Asked("x", tr("About, to the right"), x), Asked("y", tr("About, up"), y))

    def _place(self, head: str, asked: Sequence[Asked], text: str, placing: Callable[[Values], Placing], note: str = "") -> None:
        names = self._desk.handwork.picked

        def make(at: Values) -> Made | None:
            project, section = self._desk.document.at_press, self._desk.handwork.section
            if project is None or section is None or not names:
                return None
            return place_bodies(project, section.name, names, placing(at)), names

        self.open(head, asked, text.format(names=self._desk.handwork.names()), make, note)

    def open(self, head: str, asked: Sequence[Asked], text: str, make: Callable[[Values], Made | None], note: str = "") -> None:
        document = self._desk.document
        card = Card(self.style(), head, asked, tr("Done"), self.window, note=note)
        document.begin(text)

        def show(at: Values) -> None:
            made = make(at)
            if made is not None:
                document.preview(made[0])

        def take(at: Values) -> None:
            made = make(at)
            if made is None or not document.in_gesture:
                document.cancel()
                return
            document.preview(made[0])
            if document.commit():
                self._desk.choice.pick_bodies(made[1])

        card.changed.connect(show)
        card.taken.connect(take)
        card.left.connect(document.cancel)
        card.finished.connect(self._forget)
        self.card = card
        card.show_card()

    def _with_copies(self, copies: Sequence[Pasted]) -> tuple[BodyName, ...]:
        return (*self._desk.handwork.picked, *(name for copy in copies for name in copy.bodies))

    def _forget(self) -> None:
        self.card = None


def _drives(at: Values) -> Drives:
    return "shared" if at["shared"] else "copied"
