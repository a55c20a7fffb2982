"""What is in the stores? Every ready body and station by trade class, with the sizes that can be changed and their defaults.

A window shows `ENTRIES` class by class, each entry with a number field for each of its sizes, and pastes what `make` gives.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from core.model.fragment import Fragment
from core.model.project import Body
from core.stores.horns import MICRO_HORN, STANDARD_HORN, HornForm, HornSize, horn_shapes
from core.stores.marked import typical
from core.stores.motors import MOTORS, MotorClass, MotorSize, band_of, motor_shapes
from core.stores.push_pull import RodEnd
from core.stores.small_parts import hub, rod, screw, washer
from core.stores.station import Turns, fragment_from, motor_station

TradeClass = Literal["Motor stations", "Motors", "Horns", "Rods", "Hubs", "Screws and washers"]
Sizes = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Size:
    """A size that can be changed: its key, its words, its default, all in mm unless `unit` is "deg"."""

    key: str
    text: str
    default: float
    unit: Literal["mm", "deg"] = "mm"


@dataclass(frozen=True, slots=True)
class Entry:
    """One ready thing. `make` gives a fragment about the origin, depth from 0; ValueError for sizes that cannot be."""

    key: str
    text: str
    trade_class: TradeClass
    sizes: tuple[Size, ...]
    make: Callable[[Sizes], Fragment]

    def defaults(self) -> dict[str, float]:
        """Every size as it is typically."""
        return {size.key: size.default for size in self.sizes}


MOTOR_SIZES = (
    ("length", "Case length"),
    ("width", "Case width"),
    ("height", "Case height"),
    ("shaft_in", "Shaft from the near end"),
    ("over_ears", "Length over the ears"),
    ("ears_at", "Underside of the ears, from the bottom"),
    ("boss_height", "Boss height"),
    ("boss_radius", "Boss radius"),
)
HORN_SIZES = (
    ("reach", "Shaft to the outermost hole"),
    ("beyond", "Beyond that hole"),
    ("hub_radius", "Radius of the horn's middle"),
    ("arm_radius", "Half width of an arm"),
    ("thickness", "Horn thickness"),
    ("screw_proud", "Screw head above the horn"),
)
RODS: tuple[tuple[RodEnd, str], ...] = (
    ("plain", "printed, round ends"),
    ("bend", "wire, bent ends"),
    ("clip", "wire, clips"),
    ("ball", "wire, ball ends"),
)
TRAVEL = (Size("from", "Travel from", -45.0, "deg"), Size("to", "Travel to", 45.0, "deg"))


def _entries() -> tuple[Entry, ...]:
    motors = [(kind, MOTORS[kind]) for kind in MOTORS]
    horns: list[tuple[str, HornSize]] = [("micro", MICRO_HORN), ("standard", STANDARD_HORN)]
    forms: tuple[HornForm, ...] = ("arm", "two arms", "cross", "disc")
    return (
        *(_station(kind, size, "motor") for kind, size in motors),
        *(_station(kind, size, "horn") for kind, size in motors),
        *(_motor(kind, size) for kind, size in motors),
        *(_horn(name, size, form) for name, size in horns for form in forms),
        *(_rod(ends, text) for ends, text in RODS),
        Entry("hub", "Hub", "Hubs", _of(("radius", "Radius", 8.0), ("bore", "Radius of the bore", 1.65), ("thickness", "Thickness", 3.0)),
              lambda at: _alone(hub(radius=at["radius"], bore=at["bore"], thickness=at["thickness"]))),
        Entry("washer", "Washer for M3", "Screws and washers",
              _of(("outside", "Outside diameter", 7.0), ("inside", "Inside diameter", 3.2), ("thickness", "Thickness", 0.5)),
              lambda at: _alone(washer(outside=at["outside"], inside=at["inside"], thickness=at["thickness"]))),
        *(_screw(f"m{size:g}", f"Screw M{size:g}, round head", size, head, high, long)
          for size, head, high, long in ((2.0, 4.0, 1.6, 8.0), (2.5, 5.0, 2.0, 10.0), (3.0, 6.0, 2.4, 12.0))),
    )  # fmt: skip


def _of(*sizes: tuple[str, str, float]) -> tuple[Size, ...]:
    return tuple(Size(key, text, default) for key, text, default in sizes)


def _alone(*bodies: Body) -> Fragment:
    return fragment_from(bodies)


def _motor_sizes(size: MotorSize) -> tuple[Size, ...]:
    return _of(*((key, text, float(getattr(size, key))) for key, text in MOTOR_SIZES))


def _horn_sizes(size: HornSize) -> tuple[Size, ...]:
    return _of(*((key, text, float(getattr(size, key))) for key, text in HORN_SIZES))


def _changed_motor(size: MotorSize, at: Sizes) -> MotorSize:
    return replace(size, **{key: at[key] for key, _ in MOTOR_SIZES})


def _changed_horn(size: HornSize, at: Sizes) -> HornSize:
    return replace(size, **{key: at[key] for key, _ in HORN_SIZES})


def _station(kind: MotorClass, size: MotorSize, turns: Turns) -> Entry:
    horn = STANDARD_HORN if kind == "standard" else MICRO_HORN

    def make(at: Sizes) -> Fragment:
        travel = (at["from"], at["to"])
        return motor_station(kind, size=_changed_motor(size, at), horn=_changed_horn(horn, at), turns=turns, travel=travel)

    what = "the motor turns about its shaft" if turns == "motor" else "its horn turns"
    sizes = (*_motor_sizes(size), *_horn_sizes(horn), *TRAVEL)
    return Entry(f"station {kind} {turns}", f"{kind.capitalize()} motor station, {what}", "Motor stations", sizes, make)


def _motor(kind: MotorClass, size: MotorSize) -> Entry:
    def make(at: Sizes) -> Fragment:
        shapes = motor_shapes(_changed_motor(size, at))
        return _alone(typical("motor", shapes, band_of(shapes), fixed=True))

    return Entry(f"motor {kind}", f"{kind.capitalize()} motor", "Motors", _motor_sizes(size), make)


def _horn(name: str, size: HornSize, form: HornForm) -> Entry:
    def make(at: Sizes) -> Fragment:
        shapes = horn_shapes(_changed_horn(size, at), form)
        return _alone(typical("horn", shapes, band_of(shapes)))

    return Entry(f"horn {name} {form}", f"{name.capitalize()} horn, {form}", "Horns", _horn_sizes(size), make)


def _rod(ends: RodEnd, text: str) -> Entry:
    wire = 3.0 if ends == "plain" else 1.0
    sizes = _of(("length", "Pin to pin", 40.0), ("wire", "Thickness", wire))
    return Entry(f"rod {ends}", f"Rod, {text}", "Rods", sizes, lambda at: _alone(rod(length=at["length"], wire=at["wire"], ends=ends)))


def _screw(key: str, text: str, thread: float, head: float, height: float, length: float) -> Entry:

    def make(at: Sizes) -> Fragment:
        return _alone(screw(thread=at["thread"], head=at["head"], head_height=at["head_height"], length=at["length"]))

    sizes = _of(
        ("thread", "Thread diameter", thread),
        ("head", "Head diameter", head),
        ("head_height", "Head height", height),
        ("length", "Length under the head", length),
    )
    return Entry(f"screw {key}", text, "Screws and washers", sizes, make)


ENTRIES = _entries()
BY_KEY: Mapping[str, Entry] = {entry.key: entry for entry in ENTRIES}
