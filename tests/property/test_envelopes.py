"""Random bodies at random poses lie inside their envelope, and the envelope lies near what they cover."""

from itertools import pairwise

import msgspec
import numpy as np
import pytest
import shapely

from core.clearance.rounded import Piece
from core.model.joints import Pivot, Slide
from core.model.project import Body, Drive, Move, Project, Section
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Polygon
from core.motion.linkage import linkage_of
from core.motion.pose import poses
from core.sweep.envelope import Envelope, envelope_of
from core.sweep.group_cover import cut_across
from tests.checker.outline import material
from tests.mechanisms import four_bar, slider_crank

SAMPLES = 400
ROUNDING = 1e-6


def random_shape(rng):
    at = tuple(rng.uniform(-20, 20, 2).round(3).tolist())
    kinds = (
        lambda: Disc(centre=at, radius=float(rng.uniform(0.5, 6))),
        lambda: Bar(start=at, end=tuple(rng.uniform(-20, 20, 2).tolist()), radius=float(rng.uniform(0.2, 3))),
        lambda: Box(centre=at, size=tuple(rng.uniform(2, 20, 2).tolist()), turn=float(rng.uniform(0, 90)), corner_radius=0.8),
        lambda: Polygon(points=tuple((at[0] + x, at[1] + y) for x, y in ((0, 0), (14, 0), (14, 3), (3, 3), (3, 11), (0, 11)))),
        lambda: Bore(centre=at, radius=float(rng.uniform(2, 6)), wall=1.0),
        lambda: Frame(centre=at, size=(8.0, 5.0), wall=1.0, turn=float(rng.uniform(0, 90))),
    )
    return kinds[int(rng.integers(len(kinds)))]()


def random_chain(rng, drives):
    names = ["bay", *(f"carrier {number}" for number in range(1, drives)), "arm"]
    shapes = tuple(random_shape(rng) for _ in range(2))
    bodies = tuple(Body(name=name, fixed=name == "bay", depth=(0, 2), shapes=shapes if name == "arm" else ()) for name in names)
    joints, made = [], []
    for number in range(drives):
        between, at = (names[number], names[number + 1]), tuple(rng.uniform(-15, 15, 2).round(3).tolist())
        slides = rng.random() < 0.3
        name = f"joint {number}"
        joints.append(
            Slide(name=name, between=between, at=at, along=float(rng.uniform(0, 180)))
            if slides
            else Pivot(name=name, between=between, at=at)
        )
        low, high = sorted(rng.uniform(-60, 60, 2).round(2).tolist())
        moves = (Move(section="s", joint=name, ratio=float(rng.choice([1.0, -0.5, 0.4]))),)
        made.append(Drive(name=f"d{number}", unit="deg", start=low, end=high + 1, home=low, drawn=0.0, speed=1, moves=moves))
    section = Section(name="s", bodies=bodies, joints=tuple(joints))
    return Project(format=1, name="p", required_gap=0.5, sections=(section,), drives=tuple(made))


def inner_outline(body):
    """The checker's own outline of a body, never larger than it is."""
    return shapely.union_all([material(msgspec.to_builtins(shape), error=1e-4, outer=False) for shape in body.shapes])


def at_random(project, body, rng, running):
    """The body's full outline at random poses, most of them at ends of travel; the others of the drives at home."""
    linkage = linkage_of(project)
    section = linkage.sections[0]
    values = np.tile(linkage.home, (SAMPLES, 1))
    for column, drive in enumerate(project.drives):
        if drive.name in running:
            run = rng.uniform(drive.start, drive.end, SAMPLES)
            ends = rng.random(SAMPLES)
            values[:, column] = np.where(ends < 0.25, drive.start, np.where(ends > 0.75, drive.end, run))
    posed = poses(section, linkage, values)
    group = section.group_of(body.name)
    outline = inner_outline(body)
    assert posed.reached.all()
    for turn, shift in zip(posed.turn[:, group], posed.shift[:, group], strict=True):
        c, s = np.cos(turn), np.sin(turn)
        yield shapely.affinity.affine_transform(outline, [c, -s, s, c, shift.real, shift.imag])


def tried(project, body, running, rng, **settings):
    """The envelope, and how much of the body's area lies outside it at worst of many random poses, mm^2."""
    found = envelope_of(project, project.sections[0], [body.name], running, **settings)
    assert isinstance(found, Envelope)
    shapely.prepare(found.region)
    return found, max(float(pose.difference(found.region).area) for pose in at_random(project, body, rng, running))


@pytest.mark.parametrize("seed", range(12))
def test_random_chains_stay_inside(seed):
    rng = np.random.default_rng(seed)
    drives = 1 + seed % 3
    project = random_chain(rng, drives)
    running = [drive.name for drive in project.drives][: max(1, drives - seed % 2)]
    bound = 0.2 if drives < 3 else 0.5
    found, outside = tried(project, project.sections[0].bodies[-1], running, rng, bound=bound)
    assert outside <= ROUNDING
    assert found.bound <= bound + 1e-9


@pytest.mark.parametrize("seed", range(6))
def test_region_is_no_larger_than_its_bound_allows(seed):
    # Dense poses of one drive: every corner of the region lies within the bound, and what lies between two poses, of the body.
    rng = np.random.default_rng(100 + seed)
    project = random_chain(rng, 1)
    body = project.sections[0].bodies[-1]
    found, outside = tried(project, body, ["d0"], rng, bound=0.1)
    assert outside <= ROUNDING
    assert found.bound <= 0.1 + 1e-9
    drive, linkage = project.drives[0], linkage_of(project)
    section = linkage.sections[0]
    count = 1500
    posed = poses(section, linkage, np.linspace(drive.start, drive.end, count)[:, None])
    outline = inner_outline(body)
    group = section.group_of("arm")
    placed = [
        shapely.affinity.affine_transform(outline, [np.cos(t), -np.sin(t), np.sin(t), np.cos(t), z.real, z.imag])
        for t, z in zip(posed.turn[:, group], posed.shift[:, group], strict=True)
    ]
    corners = shapely.points(np.concatenate([np.array(ring) for ring in found.rings]))
    away = shapely.distance(corners, shapely.union_all(placed))
    step = (
        (drive.end - drive.start)
        / count
        * max(np.hypot(*np.array(outline.bounds)[[0, 1]]), np.hypot(*np.array(outline.bounds)[[2, 3]]), 60)
    )
    assert away.max() <= found.bound + max(np.radians(step), (drive.end - drive.start) / count)


@pytest.mark.parametrize(
    ("project", "body"),
    [
        (four_bar((40.0, 120.0, 80.0, 100.0), drawn=60.0, left=True), "coupler"),
        (four_bar((40.0, 120.0, 80.0, 100.0), drawn=60.0, left=True), "follower"),
        (slider_crank(20.0, 60.0, drawn=54.0, offset=0.0), "rod"),
    ],
)
def test_bodies_on_closed_loops_stay_inside(project, body):
    members = {each.name: each for each in project.sections[0].bodies}
    found, outside = tried(project, members[body], [project.drives[0].name], np.random.default_rng(7))
    assert outside <= ROUNDING
    assert found.bound <= 0.05 + 1e-9


def slim_rod_on_three_pivots():
    """A rod of 24, 1.6 thick, at the end of a chain of three pivots: most of what it covers, several poses of it cover."""
    names = ("bay", "first", "second", "rod")
    bodies = tuple(
        Body(
            name=name,
            fixed=name == "bay",
            depth=(0, 2),
            shapes=(Bar(start=(-12.0, 20.0), end=(12.0, 20.0), radius=0.8),) if name == "rod" else (),
        )
        for name in names
    )
    places = ((0.0, 0.0), (0.0, 12.0), (0.0, 20.0))
    joints = tuple(Pivot(name=f"pin {number}", between=names[number : number + 2], at=at) for number, at in enumerate(places))
    drives = tuple(
        Drive(name=f"d{number}", unit="deg", start=-span, end=span, home=0.0, speed=1, moves=(Move(section="s", joint=f"pin {number}"),))
        for number, span in enumerate((30.0, 10.0, 12.0))
    )
    return Project(format=1, name="p", required_gap=0.5, sections=(Section(name="s", bodies=bodies, joints=joints),), drives=drives)


def test_a_slim_rod_on_three_drives_is_held_within_the_bound():
    project = slim_rod_on_three_pivots()
    rod = project.sections[0].bodies[-1]
    found, outside = tried(project, rod, [drive.name for drive in project.drives], np.random.default_rng(3), bound=0.1)
    assert outside <= ROUNDING
    assert found.bound <= 0.1 + 1e-9


@pytest.mark.parametrize(("length", "radius", "count"), [(24.0, 0.8, 7), (3.0, 0.8, 1), (500.0, 0.1, 24)])
def test_a_bar_is_cut_into_parts_that_leave_nothing_out(length, radius, count):
    points = np.array([1.0 + 2.0j, 1.0 + 2.0j + length * np.exp(0.3j)])
    parts = cut_across(Piece(points, radius))
    assert len(parts) == count
    assert (parts[0].points[0], parts[-1].points[-1]) == (points[0], points[1])
    assert all(one.points[1] == other.points[0] for one, other in pairwise(parts))
    assert {part.radius for part in parts} == {radius}


def test_what_is_no_bar_is_not_cut():
    triangle = Piece(np.array([0j, 30 + 0j, 1j]), 0.5)
    line = Piece(np.array([0j, 30 + 0j]), 0.0)
    assert [cut_across(piece) for piece in (triangle, line)] == [(triangle,), (line,)]
