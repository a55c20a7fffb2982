"""The joint symbols, after ISO 3952-1, drawn about the pin in drawing units (a pixel on a screen, 0.25 mm on paper).

The symbol's x axis runs along the slide or slot; y up. Ticks under a symbol mean that one of its bodies is fixed.
"""

import math

from core.drawing.display_list import DisplayList, Fill, Stroke
from core.drawing.path import Arc, Path, Run, Segment, circle, polyline
from core.model.joints import Bolted, Joint, PinSlot, Pivot, Slide

PIN_RADIUS = 4.0
PIVOT_RADIUS = 4.5
SLIDER = (9.0, 5.0)
GUIDE = 17.0
SLOT_HALF = 5.0
BOLT_ARM, BOLT_DOT, BOLT_GROUND = 5.5, 2.0, 6.5


def joint_symbol(joint: Joint, *, grounded: bool) -> DisplayList:
    """The symbol of `joint` about its pin; `grounded`: one of its bodies is fixed.

    A pivot is a circle, a slide a block on its guide, a pin in a slot a circle (its slot comes from `slot_symbol`). Bolted
    bodies have the cross and dot of a bolt (after ISO 5845-1, from memory): ISO 3952-1 fills the corner between two links that
    are rigidly joined, and outlines that lie over each other have no such corner.
    """
    match joint:
        case Pivot():
            return (*_ground(-9.5, 9.0, grounded=grounded), *_post(grounded=grounded), *_circle(PIVOT_RADIUS))
        case Slide():
            return (*_guide(), *_ground(-SLIDER[1] - 1.5, GUIDE, grounded=grounded), *_block())
        case PinSlot():
            return _circle(PIN_RADIUS)
        case Bolted():
            return _bolt()


def _bolt() -> DisplayList:
    a = BOLT_ARM
    cross: Path = (polyline((-a, 0.0), (a, 0.0)), polyline((0.0, -a), (0.0, a)))
    ground, dot = ((circle((0.0, 0.0), radius),) for radius in (BOLT_GROUND, BOLT_DOT))
    return (Fill((ground,), "board"), Stroke(cross, "wide"), Fill((dot,), "ink"))


def _circle(radius: float) -> DisplayList:
    path: Path = (circle((0.0, 0.0), radius),)
    return (Fill((path,), "board"), Stroke(path, "wide"))


def _block() -> DisplayList:
    (w, h) = SLIDER
    path: Path = (polyline((-w, -h), (w, -h), (w, h), (-w, h), closed=True),)
    return (Fill((path,), "board"), Stroke(path, "wide"))


def _guide() -> DisplayList:
    return (Stroke((polyline((-GUIDE, 0.0), (GUIDE, 0.0)),), "wide"),)


def _post(*, grounded: bool) -> DisplayList:
    """The two legs from a fixed pivot to its ground."""
    if not grounded:
        return ()
    path: Path = (polyline((-6.0, -9.5), (0.0, 0.0)), polyline((0.0, 0.0), (6.0, -9.5)))
    return (Stroke(path, "narrow"),)


def _ground(level: float, half: float, *, grounded: bool) -> DisplayList:
    """A base line at `level` with ticks below it, the sign of the fixed member."""
    if not grounded:
        return ()
    base: Path = (polyline((-half, level), (half, level)),)
    ticks: Path = tuple(polyline((x, level), (x - 3.0, level - 3.5)) for x in _spread(half))
    return (Stroke(base, "narrow"), Stroke(ticks, "narrow"))


def _spread(half: float) -> tuple[float, ...]:
    count = max(2, round(half / 2.2))
    return tuple(-half + (number + 0.75) * 2.0 * half / count for number in range(count))


def slot_symbol(joint: PinSlot, *, unit: float) -> DisplayList:
    """The slot about the place where the pin stands as drawn, `unit` mm to a drawing unit: as long as the pin can run, or short."""
    low, high = (joint.reach[0] / unit, joint.reach[1] / unit) if joint.reach is not None else (-GUIDE, GUIDE)
    r = SLOT_HALF
    outline = Run(
        (
            Segment((low, -r), (high, -r)),
            Arc((high, 0.0), r, -math.pi / 2.0, math.pi),
            Segment((high, r), (low, r)),
            Arc((low, 0.0), r, math.pi / 2.0, math.pi),
        )
    )
    return (Stroke((outline,), "narrow"),)
