"""The gap of any two bodies at a pose: that of the sweep where there is one, closed forms and shapely where there is none."""

import itertools
import math
from pathlib import Path

import numpy as np
import pytest
import shapely
from msgspec.structs import replace

from core.model.edit_project import new_project
from core.model.joints import Bolted, Pivot
from core.model.names import BodyName, DriveName, JointName
from core.model.project import Body, Drive, GapRule, Move, Project
from core.model.shapes import Bar, Box, Disc, Polygon
from core.motion.linkage import linkage_of
from core.motion.pose import poses
from core.project_file.read import read_project
from core.sweep.at_pose import PoseGaps
from core.sweep.gap_between import gap_between

SAMPLES = Path(__file__).parents[3] / "sample_projects"
POST, ARM, KNOB, WALL, RIB = (BodyName(name) for name in ("post", "arm", "knob", "wall", "rib"))


def _project(*, rules: tuple[tuple[str, str], ...] = ()) -> Project:
    """An arm that turns about the origin, with a knob that rides on it, beside a wall and a rib of the bay."""
    bare = new_project()
    section = bare.sections[0]
    bodies = (
        Body(name=POST, fixed=True, depth=(0.0, 3.0), shapes=(Disc(centre=(0.0, 0.0), radius=2.0),)),
        Body(name=ARM, fixed=False, depth=(0.0, 3.0), shapes=(Bar(start=(0.0, 0.0), end=(30.0, 0.0), radius=1.0),)),
        Body(name=WALL, fixed=True, depth=(0.0, 3.0), shapes=(Box(centre=(0.0, 50.0), size=(100.0, 10.0)),)),
        Body(name=RIB, fixed=True, depth=(0.0, 3.0), shapes=(Polygon(points=((40.0, 20.0), (60.0, 20.0), (50.0, 30.0))),)),
        Body(name=KNOB, fixed=False, depth=(0.0, 3.0), shapes=(Disc(centre=(20.0, 8.0), radius=3.0),)),
    )
    joints = (
        Pivot(name=JointName("pin"), between=(POST, ARM), at=(0.0, 0.0)),
        Bolted(name=JointName("screw"), between=(ARM, KNOB)),
    )
    drive = Drive(
        name=DriveName("swing"),
        unit="deg",
        start=-90.0,
        end=90.0,
        home=0.0,
        speed=100.0,
        moves=(Move(section=section.name, joint=JointName("pin")),),
    )
    unchecked = tuple(GapRule(section=section.name, between=(BodyName(a), BodyName(b)), unchecked="printed in one piece") for a, b in rules)
    return replace(bare, sections=(replace(section, bodies=bodies, joints=joints),), drives=(drive,), gap_rules=unchecked)


def _gap(project, first, second, **at):
    linkage, section = linkage_of(project), project.sections[0].name
    found = gap_between(project, linkage, section, (first, second))
    return found.at(placed(project, linkage, section, {DriveName(name): value for name, value in at.items()}))


def placed(project, linkage, section, at):
    """Where the drives put the bodies of a section: turn in degrees, shift in x and y."""
    links = linkage.section(section)
    values = np.array([[at.get(drive.name, drive.home) for drive in project.drives]], dtype=float)
    seen = poses(links, linkage, values.reshape(1, len(project.drives)))
    return {
        body: (math.degrees(seen.turn[0, group]), seen.shift[0, group].real, seen.shift[0, group].imag)
        for group, bodies in enumerate(links.groups)
        for body in bodies
    }


@pytest.mark.parametrize("turn", [-30.0, 0.0, 45.0])
def test_an_arm_and_a_wall_are_as_far_apart_as_its_end_says(turn):
    found = _gap(_project(), ARM, WALL, swing=turn)
    end = 30.0 * math.sin(math.radians(turn))
    assert found.gap == pytest.approx(45.0 - max(end, 0.0) - 1.0)
    assert math.dist(*found.points) == pytest.approx(found.gap)


def test_bodies_of_the_bay_have_a_gap_that_never_changes():
    """The rib's tip at (50, 30) to the wall's under side at y = 45, whose end is at x = 50."""
    for turn in (0.0, 60.0):
        found = _gap(_project(), WALL, RIB, swing=turn)
        assert found.gap == pytest.approx(15.0)
        assert sorted(found.points) == [pytest.approx((50.0, 30.0)), pytest.approx((50.0, 45.0))]


def test_riders_carry_the_points_of_their_gap_with_them():
    """Knob to arm: 8 from the axis less both radii, at x = 20 as drawn; a quarter turn takes that to y = 20."""
    found = _gap(_project(), KNOB, ARM, swing=90.0)
    assert found.gap == pytest.approx(4.0)
    assert sorted(found.points) == [pytest.approx((-5.0, 20.0)), pytest.approx((-1.0, 20.0))]


def test_a_rule_that_leaves_a_pair_out_does_not_hide_its_gap():
    project = _project(rules=(("arm", "*"), ("arm", "rib")))
    assert not [row for row in PoseGaps(project).plan.rows if row.pair.between == (ARM, WALL)]
    assert _gap(project, ARM, WALL, swing=0.0).gap == pytest.approx(44.0)


def test_bodies_whose_joint_holds_all_of_them_have_none_to_measure():
    bare = _project()
    section = bare.sections[0]
    pin = replace(section.joints[0], relief=100.0)
    tied = replace(bare, sections=(replace(section, joints=(pin, *section.joints[1:])),))
    assert _gap(tied, POST, ARM, swing=0.0) is None


def test_shapely_measures_the_same_between_still_polygons():
    project = _project()
    section = project.sections[0]
    first, second = ((1.0, 2.0), (7.0, 3.0), (4.0, 9.0)), ((12.0, 4.0), (19.0, -3.0), (21.0, 8.0))
    bodies = tuple(
        Body(name=BodyName(name), fixed=True, depth=(0.0, 3.0), shapes=(Polygon(points=ring),))
        for name, ring in (("a", first), ("b", second))
    )
    drawn = replace(project, sections=(replace(section, bodies=(*section.bodies, *bodies)),))
    found = _gap(drawn, BodyName("a"), BodyName("b"))
    assert found.gap == pytest.approx(shapely.Polygon(first).distance(shapely.Polygon(second)))


@pytest.mark.parametrize("sample", ["barrier_arm", "lock_gate", "petal_lamp", "signal_lantern"])
def test_every_checked_pair_has_the_gap_that_the_sweep_sees(sample):
    project = read_project(SAMPLES / f"{sample}.bay.json")
    linkage = linkage_of(project)
    swept = PoseGaps(project, linkage=linkage)
    at = {drive.name: 0.7 * drive.start + 0.3 * drive.end for drive in project.drives}
    compared = 0
    for section in project.sections:
        for pair in itertools.islice(itertools.combinations([body.name for body in section.bodies], 2), 24):
            rows = [row for row in swept.plan.rows if row.pair.section == section.name and set(row.pair.between) == set(pair)]
            if rows:
                least = min((swept.row_at(row, at) for row in rows), key=lambda gap: gap.gap)
                found = gap_between(project, linkage, section.name, pair).at(placed(project, linkage, section.name, at))
                assert found.gap == pytest.approx(least.gap, abs=1e-9)
                assert found._replace(gap=0.0, points=least.points, way_out=None, reached=True) == least._replace(
                    gap=0.0, way_out=None, reached=True
                )
                assert math.dist(*found.points) == pytest.approx(math.dist(*least.points), abs=1e-9)
                compared += 1
    assert compared > 2


def test_a_body_that_is_not_there_is_a_mistake():
    project = _project()
    with pytest.raises(KeyError):
        gap_between(project, linkage_of(project), project.sections[0].name, (ARM, BodyName("ghost")))
