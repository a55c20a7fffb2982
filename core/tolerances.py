"""All numerical tolerances, in one frozen record that is passed in."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Tolerances:
    """Lengths in mm, angles in degrees.

    touch: a gap short by no more than this counts as met (files round to 1e-6).
    on_outline: a point this near to an outline lies on it.
    arithmetic: margin taken off every proved bound for floating-point rounding.
    sweep_end: width to which the ends of a breach are narrowed (degrees or mm of the drive).
    rubbing: the same for the ends of a contact that hovers within `touch` of 0.
    resolution: how far above the proved floor a reported lowest gap may lie.
    loose: the same where concave shapes overlap: their depth is measured, and searched, at poses only.
    far: lowest gaps beyond this are not narrowed further; "at least" is told instead.
    chord: chord error where a curve must be made of straight edges.
    ring_chord: the same for the round wall of a bore that a body is drawn across.
    misfit: a loop whose joints miss each other by no more than this is closed.
    rank: singular values of a loop's derivative below this count as nothing (lengths over lengths, near 1 in a good pose).
    """

    touch: float = 3e-6
    on_outline: float = 1e-6
    arithmetic: float = 1e-9
    misfit: float = 1e-6
    sweep_end: float = 0.001
    rubbing: float = 0.05
    resolution: float = 0.01
    loose: float = 0.25
    far: float = 20.0
    chord: float = 1e-4
    ring_chord: float = 0.005
    rank: float = 1e-6


DEFAULT_TOLERANCES = Tolerances()
