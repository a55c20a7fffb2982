"""A small lamp of five petals for looking at drawings: fixed ring and posts, hubs that turn, motors on them, petals that fold."""

import math

from core.drawing.path import Pose
from core.model.joints import Bolted, Pivot
from core.model.project import Body, Project, Section, View
from core.model.shapes import Bar, Bore, Box, Disc, Polygon

PETAL = ((-4, 46), (-6, 50), (-25, 56), (-31, 74), (-22, 94), (0, 100), (22, 94), (31, 74), (25, 56), (6, 50), (4, 46))
TINTS = ("sky", "lagoon", "celadon", "lilac", "mist")


def turned(point, degrees):
    return Pose(degrees).place(point)


def lamp() -> Project:
    fixed = [
        Body(name="ring", fixed=True, depth=(0, 6), shapes=(Bore(centre=(0, 0), radius=18.6, wall=14.4),)),
        Body(name="mast", fixed=True, depth=(0, 28), shapes=(Disc(centre=(35.5, 56), radius=3.2),)),
        Body(name="lead clip", fixed=True, depth=(0, 16), shapes=(Box(centre=(34, -27.5), size=(6, 6), turn=52, corner_radius=1),)),
    ]
    fixed += [
        Body(name=f"post {n}", fixed=True, depth=(0, 14), shapes=(Disc(centre=turned((0, 56), 36 + 72 * n), radius=3.2),))
        for n in range(1, 6)
    ]
    moving, joints = [], []
    for n in range(5):
        turn = 72.0 * n
        base, fold = turned((0, 26), turn), turned((0, 42), turn)
        hub = Body(name=f"hub {n + 1}", fixed=False, depth=(6, 9), view=View(colour="sage"), shapes=(Disc(centre=base, radius=8.6),))
        box = Box(centre=turned((0, 34.5), turn), size=(12, 24), turn=turn, corner_radius=0.8)
        motor = Body(name=f"motor {n + 1}", fixed=False, depth=(9, 21), view=View(colour="pewter"), shapes=(box,))
        shapes = (
            Polygon(points=tuple(turned(p, turn) for p in PETAL), corner_radius=2.0),
            Disc(centre=fold, radius=5.6),
            Bar(start=fold, end=turned((0, 52), turn), radius=4),
        )
        petal = Body(name=f"petal {n + 1}", fixed=False, depth=(23, 25), view=View(colour=TINTS[n]), shapes=shapes)
        moving += [hub, motor, petal]
        joints += [
            Pivot(name=f"twist {n + 1}", between=("ring", hub.name), at=base),
            Bolted(name=f"plate {n + 1}", between=(hub.name, motor.name)),
            Pivot(name=f"fold {n + 1}", between=(motor.name, petal.name), at=fold),
        ]
    section = Section(name="Plan", bodies=(*fixed, *moving), joints=tuple(joints))
    return Project(format=1, name="Petal lamp", required_gap=1.0, sections=(section,))


def about(centre, degrees):
    """The pose that turns the drawn section about a point."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    x, y = centre
    return (degrees, x - (c * x - s * y), y - (s * x + c * y))
