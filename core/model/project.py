"""The records of a project: what the user drew. Frozen; `core.model.edit` changes them by making new ones."""

from typing import Literal

import msgspec

from core.model.joints import Joint
from core.model.names import BodyName, DriveName, JointName, SectionName
from core.model.shapes import Band, Shape

FORMAT_VERSION = 1
Trust = Literal["measured", "typical", "guessed"]
Unit = Literal["deg", "mm"]


class Record(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True, cache_hash=True):
    """The settings that all plain records share."""


class View(Record, frozen=True, kw_only=True):
    """How a body is shown; never enters a proof. `held`: not to be dragged."""

    colour: str | None = None
    hidden: bool = False
    held: bool = False


class Body(Record, frozen=True, kw_only=True):
    """A rigid part cut by the section. `fixed` bodies are the bay. `outline_tolerance` is +- mm."""

    name: BodyName
    fixed: bool
    depth: Band
    shapes: tuple[Shape, ...]
    outline_tolerance: float = 0.0
    trust: Trust | None = None
    notes: str = ""
    view: View = View()


class Section(Record, frozen=True, kw_only=True):
    """One planar view: its bodies and the joints between them."""

    name: SectionName
    bodies: tuple[Body, ...]
    joints: tuple[Joint, ...] = ()
    notes: str = ""


class Move(Record, frozen=True, kw_only=True):
    """A joint that a drive moves: joint value = ratio x (drive value - drawn value)."""

    section: SectionName
    joint: JointName
    ratio: float = 1.0


class Drive(Record, frozen=True, kw_only=True, rename={"start": "from", "end": "to"}):
    """One input. Travel is `start`..`end` (keys `from`, `to`), speed units per second, `drawn` None means `home`."""

    name: DriveName
    unit: Unit
    start: float
    end: float
    home: float
    speed: float
    moves: tuple[Move, ...]
    drawn: float | None = None
    stops: tuple[float, float] | None = None
    pulse: tuple[tuple[float, float], tuple[float, float]] | None = None
    notes: str = ""

    @property
    def drawn_value(self) -> float:
        """The drive's value in the drawn pose, in its unit."""
        return self.home if self.drawn is None else self.drawn


class GapRule(Record, frozen=True, kw_only=True):
    """What a pair of bodies must keep; `*` stands for every body. Either gaps, or `unchecked` with its reason."""

    section: SectionName
    between: tuple[BodyName, BodyName]
    required_gap: float | None = None
    required_depth_gap: float | None = None
    unchecked: str | None = None
    notes: str = ""


class DriveSpan(Record, frozen=True, kw_only=True, rename={"start": "from", "end": "to"}):
    """An interval of one drive's values."""

    drive: DriveName
    start: float
    end: float


class AllowedTogether(Record, frozen=True, kw_only=True, rename={"when": "while"}):
    """While the first drive lies inside its interval the second stays in its own."""

    when: DriveSpan
    keep: DriveSpan
    reason: str = ""
    notes: str = ""


class Project(Record, frozen=True, kw_only=True, rename={"format": "baysweep"}):
    """One file: sections, drives, rules. `format` (key `baysweep`) is the file format's version."""

    format: int
    name: str
    required_gap: float
    sections: tuple[Section, ...]
    drives: tuple[Drive, ...] = ()
    gap_rules: tuple[GapRule, ...] = ()
    allowed_together: tuple[AllowedTogether, ...] = ()
    required_depth_gap: float = 0.0
    notes: str = ""
