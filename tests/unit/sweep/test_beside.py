"""How deep bodies overlap as drawn that never move relative to each other: of all pairs in one go, each as by itself."""

import pytest

from core.sweep.beside import drawn_overlaps
from core.sweep.kept import Kept
from core.tolerances import DEFAULT_TOLERANCES
from tests.bays import bay, body, box, disc, drive, pivot, polygon
from tests.bays import project as made

ANGLE = polygon((0, 0), (20, 0), (20, 4), (4, 4), (4, 20), (0, 20))
"""An L of bars 4 wide."""


def still(*bodies):
    """The pairs that never move, of bodies that all stand still beside one that turns."""
    turning = body("hand", disc(500, 500, 2))
    standing = [body(name, shape, fixed=True, **keys) for name, shape, keys in bodies]
    record = bay([*standing, turning], [pivot("pin", standing[0]["name"], "hand", at=(500, 500))], [drive("turn", (-5, 5), "pin")])
    kept = Kept()
    return kept.laid_out(made(record), DEFAULT_TOLERANCES).still


def test_depths_of_convex_and_concave_pairs_by_closed_forms_alone_and_in_one_go():
    pairs = still(
        ("angle", ANGLE, {}),
        ("apart", box(100, 100, 4, 4), {}),
        ("in a leg", box(11, 2, 2, 2), {}),
        ("in the corner", disc(7, 7, 2), {}),
        ("on the leg", disc(12, 4.5, 2), {}),
        ("above", box(10, 2, 4, 4), {"depth": (20, 30)}),
    )
    told = drawn_overlaps(pairs, DEFAULT_TOLERANCES)
    depth = {pair.between: deep for pair, deep in zip(pairs, told, strict=True)}
    # The box reaches from 1 to 3 of a leg 4 wide, the disc from 2.5 up; neither has a shorter way out.
    assert depth["angle", "in a leg"] == pytest.approx(3.0)
    assert depth["angle", "on the leg"] == pytest.approx(1.5)
    assert depth["angle", "apart"] == depth["angle", "in the corner"] == depth["angle", "above"] == 0.0
    # The disc reaches down to 2.5, the box up to 3.
    assert depth["in a leg", "on the leg"] == pytest.approx(0.5)
    assert [drawn_overlaps([pair], DEFAULT_TOLERANCES)[0] for pair in pairs] == pytest.approx(told, abs=1e-12)


def test_no_pairs_have_no_depths():
    assert drawn_overlaps([], DEFAULT_TOLERANCES) == []


def test_a_still_pair_is_measured_once_and_again_only_where_it_changed():
    kept, asked = Kept(), []

    def measured(pairs):
        asked.append(len(pairs))
        return drawn_overlaps(pairs, DEFAULT_TOLERANCES)

    def depths(*sizes):
        bodies = [body(f"post {number}", disc(10 * number, 0, size), fixed=True) for number, size in enumerate(sizes)]
        record = bay(
            [*bodies, body("hand", disc(500, 500, 2))], [pivot("pin", "post 0", "hand", at=(500, 500))], [drive("turn", (-5, 5), "pin")]
        )
        return kept.depths(kept.laid_out(made(record), DEFAULT_TOLERANCES), measured)

    assert depths(4, 7, 4) == pytest.approx([1, 0, 1])
    assert depths(4, 7, 4) == pytest.approx([1, 0, 1])
    assert depths(4, 7, 5) == pytest.approx([1, 0, 2])
    assert asked == [3, 0, 2]
