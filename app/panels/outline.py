"""The Outline step's work by words and numbers: new bodies, and the body in hand with its name, its place and its shapes."""

from collections.abc import Callable, Sequence
from functools import partial

from msgspec.structs import replace
from PySide6.QtCore import QEvent, QObject, QSize, Qt, QTimer
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from app.document.choice import body_named, section_named
from app.document.desk import Desk
from app.document.following import REST_MS
from app.panels.adjustable import Adjustable
from app.panels.name_field import NameField
from app.panels.note_field import NoteField
from app.panels.number_sentence import NumberSentence
from app.panels.scroll import Scroll
from app.panels.shape_sentences import FIRST_SHAPES, of_shape
from app.panels.tints import Tints
from app.panels.word_row import Ways, WordRow, focused, give_focus
from app.panels.words import Word, clear_layout
from app.theme import Style
from core.drawing.hole_place import ring_for_hole
from core.model.edit_bodies import add_body, change_bodies, colour_bodies, free_body_name, set_fixed, show_bodies
from core.model.edit_project import DEPTH
from core.model.edit_shapes import add_point, add_shape, cut_hole, delete_point, delete_shapes, fill_hole, set_shape_depth
from core.model.lookup import body_of, section_of
from core.model.names import BodyName, SectionName
from core.model.project import Body, Project, Trust
from core.model.shapes import Box, Point, Polygon, Shape

TRUSTS: tuple[Trust | None, ...] = ("measured", "typical", "guessed", None)
LEAST_POINTS = 3
APART_MS = 15
"""Milliseconds from one thing that is built to the next: within them what it changes is laid out and painted."""
AT_ONCE = 8
"""Fields that are made in one turn; each takes about half a millisecond."""
LEAST_HEIGHT = 24
"""Logical pixels: one row of words."""


class Outline(QWidget):
    """Everything it does is one step of the history. Rows are built anew only where what they are of has changed."""

    def __init__(self, style: Style, desk: Desk) -> None:
        super().__init__()
        self._style, self._desk = style, desk
        self._made: object = None
        self._rows: list[tuple[NumberSentence, Adjustable]] = []
        self._left: list[int] = []
        self._picked: tuple[Body, ...] = ()
        self._soon = QTimer(self, singleShot=True)
        self._soon.timeout.connect(self._go_on)
        desk.redrawn.connect(self._put_off)
        self.words: dict[str, Word] = {}
        self.name: NameField | None = None
        self.note: NoteField | None = None
        self.setAccessibleName(self.tr("Work on bodies and shapes"))
        self._inner = QWidget()
        self._inner.installEventFilter(self)
        self._column = QVBoxLayout(self._inner)
        self._column.setContentsMargins(0, 0, 8, 0)
        self._column.setSpacing(2)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        self._scroll = Scroll(style, self._inner)
        outer.addWidget(self._scroll)

    def show_of(self, bodies: Sequence[Body]) -> None:
        """Show the work on the body picked; with none, or several, only how to begin another. Hidden, only keep what is picked."""
        self._picked = tuple(bodies)
        tall = QSizePolicy.Policy.Preferred if self._body() is not None else QSizePolicy.Policy.Maximum
        self.setSizePolicy(QSizePolicy.Policy.Preferred, tall)
        if not self.isVisible():
            return
        if self._soon.isActive() or (self._desk.document.in_gesture and self._made != self._wanted()):
            # In turns of their own: the hand that has picked the body is dragging it already.
            self._soon.start(REST_MS if self._desk.document.in_gesture else 0)
        else:
            self._make()

    def sizeHint(self) -> QSize:
        """With no body at work as high as it is; a scroll area alone would take more."""
        hint = super().sizeHint()
        if self._body() is not None:
            return hint
        return QSize(hint.width(), max(self._inner.heightForWidth(self._scroll.viewport().width()), LEAST_HEIGHT))

    def minimumSizeHint(self) -> QSize:
        least = super().minimumSizeHint()
        return least if self._body() is not None else QSize(least.width(), min(self.sizeHint().height(), least.height()))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.LayoutRequest and self._body() is None:
            self.updateGeometry()
        return super().eventFilter(watched, event)

    def _wanted(self) -> object:
        body = self._body()
        return self._desk.document.opened, self._desk.choice.section, _form(body), self._order(body)

    def _body(self) -> Body | None:
        return self._picked[0] if len(self._picked) == 1 else None

    def _put_off(self) -> None:
        """The hand has moved: rows are built when it rests."""
        if self._soon.isActive():
            self._soon.start(REST_MS)

    def _go_on(self) -> None:
        """What there is to say in one turn, then the numbers of each shape in turns of their own; at last, once more, all of them."""
        body, wait = self._body(), APART_MS if self._desk.document.in_gesture else 0
        if self._made != self._wanted():
            self._made = self._wanted()
            self._build(body)
            self._left = list(range(len(self._rows)))
            self._soon.start(wait)
        elif body is not None and self._left:
            self._make_some(body)
            self._soon.start(wait)
        else:
            self._make()

    def _make_some(self, body: Body) -> None:
        """Some of the numbers that are left, as many as a turn has time for."""
        index = self._left[0]
        sentence, found = self._rows[index][0], self._found(body, index)
        if sentence.make_ahead(found.numbers, about=found.about, most=AT_ONCE):
            self._left.pop(0)
            self._show_numbers_of(body, index)

    def _make(self) -> None:
        body, wanted = self._body(), self._wanted()
        if wanted != self._made:
            self._made = wanted
            self._build(body)
        self._left = []
        if body is not None:
            self._show_numbers(body)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.show_of(self._picked)

    def sentence_of(self, index: int) -> NumberSentence:
        """The sentence of a shape, by its place in the body."""
        return self._rows[index][0]

    def reveal(self, index: int) -> None:
        """Scroll to a shape of the body shown, by its place, and mark its first number, once there is room for it."""
        if self._soon.isActive():
            self._soon.stop()
            self._make()
        if index < len(self._rows):
            sentence = self._rows[index][0]
            QTimer.singleShot(0, sentence, lambda: self._scroll_to(sentence))

    def _scroll_to(self, sentence: NumberSentence) -> None:
        self._scroll.ensureWidgetVisible(sentence, 0, 0)
        sentence.first_field().setFocus()

    def set_style(self, style: Style) -> None:
        self._style = style

    def _build(self, body: Body | None) -> None:
        at = focused(self.words)
        clear_layout(self._inner)
        self._rows, self.words, self.name, self.note = [], {}, None, None
        kinds = {f"new {kind}": (self.tr(kind), partial(self._add_body, kind)) for kind in FIRST_SHAPES}
        self._row(self.tr("A new body:"), kinds)
        if body is not None:
            self._build_body(body)
        self._column.addStretch(1)
        self._scroll.fit_soon(ms=APART_MS // 2 if self._desk.document.in_gesture else 0)
        give_focus(self.words, at)

    def _build_body(self, body: Body) -> None:
        name = body.name
        self.name = NameField(self._style, self.tr("Name of the body"), name)
        self.name.taken.connect(lambda new: self._rename(name, new))
        self._column.addWidget(self.name)
        for index, shape in enumerate(body.shapes):
            self._build_shape(name, index, shape)
        kinds = {f"add {kind}": (self.tr(kind), partial(self._add_shape, name, kind)) for kind in FIRST_SHAPES}
        self._row(self.tr("Add to it a"), kinds)
        self._row(self.tr("It is {fixed}:").format(fixed=self.tr("fixed") if body.fixed else self.tr("moving")), self._ways(body))
        self._row(self.tr("Its sizes are"), self._trusts(body))
        self._build_looks(body)
        hand = self._desk.handwork
        last: dict[str, tuple[str, Callable[[], object]]] = {
            "earlier": (self.tr("earlier in the list"), partial(hand.reorder, -1)),
            "later": (self.tr("later"), partial(hand.reorder, 1)),
            "duplicate": (self.tr("duplicate"), hand.duplicate),
            "delete": (self.tr("delete"), hand.delete),
        }
        self._row("", last)

    def _ways(self, body: Body) -> dict[str, tuple[str, Callable[[], object]]]:
        fixed, view = not body.fixed, body.view
        names = (body.name,)
        show, hold = self._edit(show_bodies, names, hidden=not view.hidden), self._edit(show_bodies, names, held=not view.held)
        fix = self.tr("Make {body} fixed") if fixed else self.tr("Make {body} moving")
        seen = self.tr("Show {body}") if view.hidden else self.tr("Hide {body}")
        held = self.tr("Let {body} be moved") if view.held else self.tr("Hold {body} in place")
        return {
            "fixed": (
                self.tr("make it fixed") if fixed else self.tr("make it moving"),
                lambda: self._change(fix.format(body=body.name), self._edit(set_fixed, names, fixed=fixed)),
            ),
            "hide": (
                self.tr("show it again") if view.hidden else self.tr("hide it"),
                lambda: self._change(seen.format(body=body.name), show),
            ),
            "hold": (
                self.tr("let it be moved") if view.held else self.tr("hold it in place"),
                lambda: self._change(held.format(body=body.name), hold),
            ),
        }

    def _build_looks(self, body: Body) -> None:
        """Its tint, which a fixed body has none of, and its note."""
        name, order = body.name, self._order(body)
        if order is not None:
            tints = Tints(self._style, name, body.view.colour, order=order)
            tints.chosen.connect(
                lambda colour: self._change(self.tr("Colour of {body}").format(body=name), self._edit(colour_bodies, (name,), colour))
            )
            self.words |= tints.by_key()
            self._column.addWidget(tints)
        about = (self._desk.document.opened, self._desk.choice.section, name)
        self.note = NoteField(self._style, self.tr("A note on {body}").format(body=name), body.notes, about=about)
        # In a turn of its own: leaving the field may be part of building these rows anew.
        self.note.taken.connect(self._write, Qt.ConnectionType.QueuedConnection)
        self._column.addWidget(self.note)

    def _write(self, about: tuple[int, SectionName, BodyName], note: str) -> None:
        """Take a note, unless what it is about has gone meanwhile."""
        opened, place, name = about
        section = section_named(self._desk.project, place)
        if opened == self._desk.document.opened and section is not None and body_named(section, name) is not None:
            told = self.tr("Note on {body}").format(body=name)
            self._change(told, lambda project: change_bodies(project, place, (name,), lambda old: replace(old, notes=note)))

    def _order(self, body: Body | None) -> int | None:
        """The place of a moving body among the moving ones, from which its tint follows."""
        section = self._desk.handwork.section
        if section is None or body is None or body.fixed:
            return None
        return next((place for place, one in enumerate(one for one in section.bodies if not one.fixed) if one.name == body.name), None)

    def _trusts(self, body: Body) -> dict[str, tuple[str, Callable[[], object]]]:
        told = self.tr("Trust in {body}").format(body=body.name)

        def trust(value: Trust | None) -> Callable[[], object]:
            return lambda: self._change(told, self._edit(change_bodies, (body.name,), lambda old: replace(old, trust=value)))

        return {
            f"trust {value}": (self.tr(value) if value else self.tr("not said"), trust(value)) for value in TRUSTS if value != body.trust
        }

    def _build_shape(self, name: BodyName, index: int, shape: Shape) -> None:
        sentence = NumberSentence(self._style)
        sentence.tried.connect(lambda key, value: self._desk.adjusting.try_out(*self._rows[index][1].change(key, value)))
        sentence.committed.connect(lambda key, value: self._desk.adjusting.take(*self._rows[index][1].change(key, value)))
        sentence.left.connect(self._desk.adjusting.give_back)
        self._rows.append((sentence, Adjustable()))
        self._column.addWidget(sentence)
        told = self.tr("Shape {number} of {body}").format(number=index + 1, body=name)
        ways: dict[str, tuple[str, Callable[[], object]]] = {}
        if isinstance(shape, Polygon):
            ways |= self._points(name, index, told, ring=shape.points, hole=None)
        if isinstance(shape, Polygon | Box):
            cut = self.tr("Cut a hole in {shape}").format(shape=told)
            ways[f"hole {index}"] = (self.tr("cut a hole"), lambda: self._change(cut, self._edit(_with_hole, name, index)))
        ways[f"depth {index}"] = (
            self.tr("a depth of its own") if shape.depth is None else self.tr("as deep as its body"),
            lambda: self._change(told, self._edit(_own_depth, name, index, own=shape.depth is None)),
        )
        ways[f"delete {index}"] = (
            self.tr("delete"),
            lambda: self._change(self.tr("Delete {shape}").format(shape=told), self._edit(delete_shapes, name, (index,))),
        )
        self._row("", ways)
        for number, ring in enumerate(shape.holes if isinstance(shape, Polygon) else ()):
            self._build_hole(name, index, told, ring=ring, hole=number)

    def _build_hole(self, name: BodyName, index: int, told: str, *, ring: tuple[Point, ...], hole: int) -> None:
        fill = self.tr("Fill hole {number} of {shape}").format(number=hole + 1, shape=told)
        ways = self._points(name, index, told, ring=ring, hole=hole)
        ways[f"fill {index} {hole}"] = (self.tr("fill it"), lambda: self._change(fill, self._edit(fill_hole, name, index, hole)))
        self._row(self.tr("Hole {number}:").format(number=hole + 1), ways)

    def _points(
        self, name: BodyName, index: int, told: str, *, ring: tuple[Point, ...], hole: int | None
    ) -> dict[str, tuple[str, Callable[[], object]]]:
        """One more point of a ring of a polygon, or one fewer: keys "point 0" for shape 0, "point 0 1" for its second hole."""
        key = f"{index}" if hole is None else f"{index} {hole}"
        add = self._edit(_with_point, name, index, hole=hole)
        ways: dict[str, tuple[str, Callable[[], object]]] = {f"point {key}": (self.tr("one more point"), lambda: self._change(told, add))}
        if len(ring) > LEAST_POINTS:
            take = self._edit(delete_point, name, index, len(ring) - 1, hole=hole)
            ways[f"fewer {key}"] = (self.tr("one fewer"), lambda: self._change(told, take))
        return ways

    def _row(self, head: str, ways: Ways) -> None:
        row = WordRow(self._style, head, ways)
        self.words |= row.words
        self._column.addWidget(row)

    def _show_numbers(self, body: Body) -> None:
        if self.note is not None:
            self.note.show_note(body.notes)
        for index in range(len(self._rows)):
            self._show_numbers_of(body, index)

    def _show_numbers_of(self, body: Body, index: int) -> None:
        sentence, found = self._rows[index][0], self._found(body, index)
        self._rows[index] = (sentence, found)
        sentence.say(found.text, found.numbers, about=found.about)

    def _found(self, body: Body, index: int) -> Adjustable:
        section = self._desk.choice.section
        return Adjustable() if section is None else of_shape(section, body.name, index, body.shapes[index], self.tr)

    def _edit(self, edit: Callable[..., Project], *args: object, **named: object) -> Callable[[Project], Project]:
        section = self._desk.choice.section
        return lambda project: edit(project, section, *args, **named)

    def _change(self, text: str, edit: Callable[[Project], Project]) -> bool:
        return self._desk.document.change(text, edit)

    def _rename(self, old: BodyName, new: str) -> None:
        if new and new != old:
            self._desk.handwork.rename(old, new)

    def _add_body(self, kind: str) -> None:
        project, section = self._desk.project, self._desk.choice.section
        if project is None or section is None:
            return
        name = free_body_name(project, section, self.tr("body"))
        body = Body(name=name, fixed=kind in ("bore", "frame"), depth=DEPTH, shapes=(FIRST_SHAPES[kind],))
        if self._change(self.tr("Add {body}").format(body=name), lambda old: add_body(old, section, body)):
            self._desk.choice.pick_bodies((name,))

    def _add_shape(self, name: BodyName, kind: str) -> None:
        self._change(
            self.tr("Add a {shape} to {body}").format(shape=self.tr(kind), body=name), self._edit(add_shape, name, FIRST_SHAPES[kind])
        )


def _own_depth(project: Project, section: SectionName, name: BodyName, index: int, *, own: bool) -> Project:
    """A shape begins its own depth band with that of its body."""
    return set_shape_depth(project, section, name, index, body_of(section_of(project, section), name).depth if own else None)


def _with_point(project: Project, section: SectionName, name: BodyName, index: int, *, hole: int | None) -> Project:
    """One more point, in the middle of the edge that closes a ring of the polygon."""
    shape = body_of(section_of(project, section), name).shapes[index]
    if not isinstance(shape, Polygon):
        return project
    ring = shape.points if hole is None else shape.holes[hole]
    (x, y), (first_x, first_y) = ring[-1], ring[0]
    return add_point(project, section, name, index, ((x + first_x) / 2, (y + first_y) / 2), before=len(ring), hole=hole)


def _with_hole(project: Project, section: SectionName, name: BodyName, index: int) -> Project:
    """A hole where there is room for it; as it was where the shape encloses nothing."""
    shape = body_of(section_of(project, section), name).shapes[index]
    ring = ring_for_hole(shape) if isinstance(shape, Polygon | Box) else None
    return project if ring is None else cut_hole(project, section, name, index, ring)


def _form(body: Body | None) -> object:
    """What the rows of a body are built of: all but its numbers."""
    if body is None:
        return None
    shapes = tuple((type(shape), shape.depth is None, _rings(shape)) for shape in body.shapes)
    return (body.name, body.fixed, body.trust, body.view, shapes)


def _rings(shape: Shape) -> tuple[int, ...]:
    """How many points the rings of a polygon have."""
    return tuple(map(len, (shape.points, *shape.holes))) if isinstance(shape, Polygon) else ()
