"""The four joints. `between` is (reference, moved); `at` is the pin in the section frame at the drawn pose."""

import msgspec

from core.model.names import BodyName, JointName
from core.model.shapes import Point


class JointRecord(
    msgspec.Struct, frozen=True, kw_only=True, tag_field="kind", forbid_unknown_fields=True, omit_defaults=True, cache_hash=True
):
    """What all joints carry."""

    name: JointName
    between: tuple[BodyName, BodyName]
    notes: str = ""


class PinRecord(JointRecord, frozen=True, kw_only=True):
    """What joints with a pin carry: `relief` mm about the pin (None: the default), `play` diametral mm."""

    at: Point
    relief: float | None = None
    play: float = 0.0


class Pivot(PinRecord, frozen=True, kw_only=True, tag="pivot"):
    """The moved body turns about `at`, which both bodies hold."""


class Slide(PinRecord, frozen=True, kw_only=True, tag="slide"):
    """The moved body shifts, without turning, along `along` degrees, a direction of the reference body."""

    along: float


class PinSlot(PinRecord, frozen=True, kw_only=True, tag="pin_slot"):
    """A pin of the first body runs in a slot of the second; `along` degrees and `reach` mm belong to the slot."""

    along: float
    reach: tuple[float, float] | None = None


class Bolted(JointRecord, frozen=True, kw_only=True, tag="bolted"):
    """The two bodies move as one."""


Joint = Pivot | Slide | PinSlot | Bolted
