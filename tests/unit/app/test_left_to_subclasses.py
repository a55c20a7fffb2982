"""What a base class leaves to those made of it, each of them has: Qt's classes have a metaclass of their own, which abc clashes with."""

from itertools import chain

import pytest

import app.window  # noqa: F401 - brings every class of the window
from app.board.piece import Piece
from app.board.still_picture import Pictured
from app.drawing.measuring import Measuring
from app.drawing.on_bodies import OnBodies
from app.drawing.point_tool import PointTool
from app.drawing.tool import Tool


def ends(kind):
    """The classes made of `kind` that nothing else is made of."""
    made = kind.__subclasses__()
    return set(chain.from_iterable(ends(one) for one in made)) if made else {kind}


def left(kind):
    """What a class leaves to others: its methods that only raise."""
    own = [(name, value) for name, value in vars(kind).items() if callable(value) and hasattr(value, "__code__")]
    return {name for name, value in own if "NotImplementedError" in value.__code__.co_names}


@pytest.mark.parametrize("base", [Piece, Pictured, Tool, PointTool, OnBodies, Measuring])
def test_each_class_in_use_has_what_its_base_leaves_to_it(base):
    names = left(base)
    assert names
    found = {kind for kind in ends(base) if kind.__module__.startswith("app.")}
    assert found
    missing = {(kind.__name__, name) for kind in found for name in names if getattr(kind, name) is getattr(base, name)}
    assert missing == set()
