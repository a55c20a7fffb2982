"""The stores in the window: ready bodies and stations set down by number, rods between two horns, and the user's own."""

from collections.abc import Callable
from itertools import groupby

from app.cards import Cards, Made, tr
from app.document.desk import Desk
from app.document.own_stores import OwnStores
from app.panels.card import Asked, Values
from app.panels.picker import Picker
from core.errors import BaysweepError
from core.model.edit_bodies import shift_depth
from core.model.edit_placing import place_bodies
from core.model.fragment import Fragment, fragment_of, hanging
from core.model.joints import Pivot
from core.model.lookup import body_of
from core.model.names import BodyName
from core.model.pasting import pasted
from core.model.placing import Placing, moving
from core.model.project import Section
from core.model.shapes import Band
from core.stores.catalogue import BY_KEY, ENTRIES
from core.stores.marked import TYPICAL_NOTE
from core.stores.push_pull import HornEnd, push_pull

OWN = "own:"
"""Before the name of an entry of the user's own, in a key."""

PLACE = (
    ("at x", "To the right", "mm"),
    ("at y", "Up", "mm"),
    ("at turn", "Turned, counter-clockwise", "deg"),
    ("at depth", "Raised, across the section", "mm"),
)


class StoresWork:
    """Opens the stores for `desk`; `refuse` tells a sentence where something cannot be done, `tell` one where it was."""

    def __init__(self, desk: Desk, cards: Cards, own: OwnStores, refuse: Callable[[str], object], tell: Callable[[str], object]) -> None:
        self._desk = desk
        self._cards = cards
        self.own = own
        self._refuse = refuse
        self._tell = tell
        self.picker: Picker | None = None

    def open(self) -> None:
        """Choose what to set down. Own stores that cannot be read are told, and the ready ones offered all the same."""
        own: tuple[Fragment, ...] = ()
        try:
            own = self.own.entries()
        except BaysweepError as refusal:
            self._refuse(str(refusal))
        choices = [
            (tr(heading), [(entry.key, tr(entry.text)) for entry in under])
            for heading, under in groupby(ENTRIES, lambda entry: entry.trade_class)
        ]
        mine = [(OWN + entry.name, entry.name) for entry in own]
        choices = [(tr("Your own"), mine), *choices] if mine else choices
        throws = frozenset(key for key, _ in mine)
        picker = Picker(self._cards.style(), tr("Stores"), choices, self._cards.window, note=tr(TYPICAL_NOTE), throws=throws)
        picker.picked.connect(self.set_down)
        picker.thrown.connect(self._take_out)
        picker.finished.connect(self._forget)
        self.picker = picker
        picker.show_picker()

    def set_down(self, key: str) -> None:
        """Open the card of an entry: its sizes, and where it goes."""
        entry = BY_KEY.get(key)
        fragment = None if entry else self._own_entry(key)
        section = self._desk.handwork.section
        if section is None or (entry is None and fragment is None):
            return
        carrier = self._carrier(section)
        x, y = self._desk.handwork.middle()
        places = dict(zip((key for key, _, _ in PLACE), (x, y, 0.0, 0.0), strict=True))
        sizes = [Asked(size.key, tr(size.text), size.default, size.unit) for size in entry.sizes] if entry else []
        where = [Asked(key, tr(text), places[key], "deg" if unit == "deg" else "mm") for key, text, unit in PLACE]

        def make(at: Values) -> Made | None:
            project = self._desk.document.at_press
            if project is None:
                return None
            try:
                made = entry.make(at) if entry else fragment
            except ValueError:  # sizes that cannot be, half typed: what was shown stays
                return None
            if made is None:
                return None
            names = [body.name for body in made.sections[0].bodies]
            raised = shift_depth(made, made.sections[0].name, names, at["at depth"])
            placing: Placing = moving(turn=at["at turn"], shift=(at["at x"], at["at y"]))
            done = pasted(project, section.name, raised, placing=placing, onto=carrier)
            return done.project, done.bodies

        text = tr(entry.text) if entry else key.removeprefix(OWN)
        onto = (
            tr("Put onto {body}. ").format(body=carrier)
            if carrier and self._hangs(entry.make(entry.defaults()) if entry else fragment)
            else ""
        )
        note = onto + (tr(TYPICAL_NOTE) if entry else "")
        self._cards.open(text, [*sizes, *where], tr("Set down {what}").format(what=text), make, note)

    def put_in(self) -> None:
        """Put the bodies in hand into the user's own stores, by the name of the first."""
        project, hand = self._desk.project, self._desk.handwork
        section, picked = hand.section, hand.picked
        if project is None or section is None or not picked:
            return
        fragment = fragment_of(project, section.name, picked)
        x, y = hand.middle()
        # a fragment is a project of one section, in which its bodies can be placed like any: here about the origin
        fragment = place_bodies(fragment, fragment.sections[0].name, picked, moving(shift=(-x, -y)))
        try:
            name = self.own.put_in(fragment, picked[0])
        except BaysweepError as refusal:
            self._refuse(str(refusal))
        else:
            self._tell(tr("{name} is in your stores.").format(name=name))

    def push_pull(self) -> None:
        """Rods between the two bodies in hand, each of which turns on a pivot."""
        section, picked = self._desk.handwork.section, self._desk.handwork.picked
        horns = [horn for name in picked if section is not None and (horn := _horn_of(section, name)) is not None]
        if section is None or len(picked) != 2 or len(horns) != 2:
            self._refuse(tr("Pick the two bodies that the rods are to join. Each must turn on a pivot."))
            return
        asked = [
            Asked("first", tr("Hole of {body}, from its shaft").format(body=picked[0]), 12.0),
            Asked("second", tr("Hole of {body}, from its shaft").format(body=picked[1]), 12.0),
            Asked("wire", tr("Thickness of the wire"), 1.0),
            Asked("double", tr("Two rods, on opposite arms"), 1.0, "switch"),
        ]

        def make(at: Values) -> Made | None:
            project = self._desk.document.at_press
            if project is None:
                return None
            ends = [HornEnd(horn.body, horn.shaft, at[key], horn.depth) for horn, key in zip(horns, ("first", "second"), strict=True)]
            try:
                rods = push_pull(ends[0], ends[1], double=bool(at["double"]), wire=at["wire"])
            except ValueError:
                return None
            done = pasted(project, section.name, rods)
            return done.project, done.bodies

        self._cards.open(tr("Push-pull rods"), asked, tr("Push-pull rods"), make, tr(TYPICAL_NOTE))

    def _own_entry(self, key: str) -> Fragment | None:
        try:
            return next((entry for entry in self.own.entries() if OWN + entry.name == key), None)
        except BaysweepError as refusal:
            self._refuse(str(refusal))
            return None

    def _take_out(self, key: str) -> None:
        try:
            self.own.take_out(key.removeprefix(OWN))
        except (BaysweepError, KeyError) as refusal:
            self._refuse(str(refusal))

    def _carrier(self, section: Section) -> BodyName | None:
        """What a station is put on: the body in hand, else the first of the bay."""
        picked = self._desk.handwork.picked
        return picked[0] if picked else next((body.name for body in section.bodies if body.fixed), None)

    def _hangs(self, fragment: Fragment | None) -> bool:
        return fragment is not None and bool(hanging(fragment))

    def _forget(self) -> None:
        self.picker = None


def _horn_of(section: Section, name: BodyName) -> HornEnd | None:
    """The end of a rod on a body: about the pivot that it turns on, over the depth of its highest shape there."""
    pin = next((joint for joint in section.joints if isinstance(joint, Pivot) and joint.between[1] == name), None)
    if pin is None:
        return None
    depth: Band = body_of(section, name).depth
    return HornEnd(name, pin.at, 0.0, depth)
