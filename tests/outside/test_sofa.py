"""Hammersley's sofa carried round the corner of two unit corridors: it touches at every angle, so that a proof has no room to be loose.

Sofa: a 1 x 4/pi block between two unit quarter discs, with a half disc of radius 2/pi taken out; area pi/2 + 2/pi = 2.207416
(J. M. Hammersley, 1968; the area is a published answer). In the sofa's frame the inner corner runs at (2/pi)(cos 2t, sin 2t)
while the sofa is turned by -t: seen from the corridors a crank of radius 2/pi turned by t, and on its end the sofa, turned by -2t.
"""

import numpy as np
import pytest
import shapely

from core.sweep.at_pose import PoseGaps
from tests.bays import bay, body, box, check, drive, pivot, polygon, project

NOTCH = 2 / np.pi
ERODED = 0.01
SIDES = 240
"""Chords a quarter turn: their sagitta is 5e-6 at most, on arcs of radius 1."""

ROUGH = 2e-5
"""Chords and six decimals together move a gap by no more than this."""


def arc(centre: complex, radius: float, start: float, end: float, sides: int) -> list[complex]:
    return list(centre + radius * np.exp(1j * np.radians(np.linspace(start, end, sides + 1))))


def sofa(eroded: float) -> list[complex]:
    """The outline, counter-clockwise, in the sofa's frame with every wall of it moved inward by `eroded`."""
    reach, notch = 1 - eroded, NOTCH + eroded
    # Moved inward the floor lies at y = eroded: the arcs are cut where they meet it.
    foot, inner = np.degrees(np.arcsin(eroded / reach)), np.degrees(np.arcsin(eroded / notch))
    right = arc(NOTCH, reach, foot, 90, SIDES)
    left = arc(-NOTCH, reach, 90, 180 - foot, SIDES)
    hollow = arc(0, notch, 180 - inner, inner, 2 * SIDES)
    return [*right, *left, *hollow]


def corner(eroded: float, **keys) -> dict:
    """The corridors with the inner corner at the origin, and the sofa as it stands at t = 0."""
    points = [(point.real - NOTCH, point.imag) for point in sofa(eroded)]
    bodies = [
        body("inner block", box(-5, -5, 10, 10), fixed=True),
        body("top wall", box(-3, 1.5, 10, 1), fixed=True),
        body("side wall", box(1.5, -4, 1, 10), fixed=True),
        body("crank", box(0, 0, 0.1, 0.1), depth=(-9, -8)),
        body("sofa", polygon(*[(round(x, 6), round(y, 6)) for x, y in points])),
    ]
    joints = [pivot("corner", "inner block", "crank"), pivot("carrier", "crank", "sofa", at=(round(-NOTCH, 6), 0))]
    return bay(bodies, joints, [drive("t", (0, 90), ("corner", 1), ("carrier", -2))], **keys)


def test_area_of_the_sofa_drawn_is_the_published_one():
    outline = shapely.Polygon([(point.real, point.imag) for point in sofa(0.0)])
    assert outline.is_valid
    assert outline.area == pytest.approx(2.207416, abs=1e-4)  # Hammersley 1968: pi/2 + 2/pi


def test_eroded_sofa_keeps_a_hundredth_from_the_nearest_wall_at_every_angle():
    poses = PoseGaps(project(corner(ERODED)))
    for t in np.linspace(0.5, 89.5, 60):
        gaps = [gap.gap for gap in poses.at({"t": float(t)}) if "sofa" in gap.between and "crank" not in gap.between]
        assert len(gaps) == 3
        assert min(gaps) == pytest.approx(ERODED, abs=ROUGH)  # closed form


@pytest.mark.parametrize(("required", "verdict"), [(ERODED - 0.001, "clear"), (ERODED + 0.001, "breach")])
def test_sofa_is_proved_round_the_corner_with_a_thousandth_to_spare_and_not_with_one_too_few(required, verdict):
    result = check(corner(ERODED, required_gap=required))
    checks = [row for row in result.of_sweep("combined") if "sofa" in row.between and "crank" not in row.between]
    assert result.verdict == verdict
    assert "undecided" not in {row.verdict for row in checks}
    lowest = min(row.lowest_gap for row in checks)
    assert lowest == pytest.approx(ERODED, abs=ROUGH if verdict == "breach" else 0.01)
    assert all(row.floor is not None and row.floor <= row.lowest_gap for row in checks)
