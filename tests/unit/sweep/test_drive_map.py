"""Two-drive maps held to poses measured one by one, and to a closed form."""

import multiprocessing
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from itertools import pairwise
from pathlib import Path

import msgspec
import numpy as np
import pytest

from core.model.names import DriveName
from core.model.project import AllowedTogether, DriveSpan, Project
from core.project_file.read import read_project
from core.sweep.at_pose import PoseGaps
from core.sweep.drive_map import BREACH, CLEAR, RULED_OUT, UNDECIDED, DriveMap, map_of, state_at
from tests.arms import mirrored_arms
from tests.bench.ring_bay import ring_bay

SAMPLES = Path(__file__).parents[3] / "sample_projects"
LEFT, RIGHT = DriveName("left"), DriveName("right")
AMBER, BLUE = DriveName("amber"), DriveName("blue")
EDGE = 1e-9

MEETING = 39.517653
"""Degrees above the centre line at which two mirrored slot arms L 35 r 3, pivots 60 apart, first touch: closed form."""


def measured(project: Project, found: DriveMap, *, points: int, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Random values of the two drives, the others at home: whether a pair of theirs breaches, and what the map says."""
    poses = PoseGaps(project)
    rng = np.random.default_rng(seed)
    names = [drive.name for drive in project.drives]
    places = [names.index(name) for name in found.drives]
    values = np.tile([drive.home for drive in project.drives], (points, 1)).astype(float)
    for place, edges in zip(places, found.edges, strict=True):
        values[:, place] = rng.uniform(edges[0], edges[-1], points)
    gaps = poses.all_over(project.sections[0].name, values, cap=5.0)
    need = np.array([row.need for row in poses.plan.rows])
    own = np.array([bool(set(row.drives) & set(places)) and row.across is None for row in poses.plan.rows])
    told = np.array([state_at(found, row[places]) for row in values])
    return ((gaps < need) & own).any(axis=1), told


@pytest.mark.parametrize(("first", "second"), [("fold 2", "twist 2"), ("fold 2", "twist 3"), ("twist 4", "fold 5")])
def test_no_clear_cell_holds_a_breach_and_no_breach_cell_is_far_from_one(first: str, second: str) -> None:
    project = read_project(SAMPLES / "petal_lamp.bay.json")
    found = map_of(project, DriveName(first), DriveName(second), leaf=0.5)
    breaches, told = measured(project, found, points=300, seed=5)
    assert breaches.any()
    assert not (breaches & (told == CLEAR)).any()
    # What breaches nowhere lies in a breach cell only where the border runs through that cell.
    assert np.mean(~breaches & (told == BREACH)) < 0.02
    assert np.mean(told == UNDECIDED) < 0.02


def test_mirrored_arms_meet_on_the_diagonal_where_the_closed_form_says() -> None:
    project = msgspec.structs.replace(mirrored_arms(), required_gap=0.0)
    found = map_of(project, LEFT, RIGHT, leaf=0.25)
    touching = 90.0 - MEETING
    step = found.edges[0][1] - found.edges[0][0]
    diagonal = [state_at(found, (value, value)) for value in np.arange(0.1, 69.9, step)]
    first = next(place for place, state in enumerate(diagonal) if state == BREACH)
    assert np.arange(0.1, 69.9, step)[first] == pytest.approx(touching, abs=2 * step)
    assert diagonal[0] == CLEAR
    assert len([1 for one, other in pairwise(diagonal) if (one == CLEAR) != (other == CLEAR)]) == 1


def test_with_the_others_anywhere_no_less_breaches_than_with_them_at_home() -> None:
    ruled = read_project(SAMPLES / "petal_lamp.bay.json")
    project = msgspec.structs.replace(ruled, allowed_together=())
    home = map_of(project, DriveName("fold 5"), DriveName("twist 5"), leaf=3.0)
    anywhere = map_of(project, DriveName("fold 5"), DriveName("twist 5"), others="any", leaf=3.0)
    assert np.all(anywhere.state[home.state == BREACH] == BREACH)
    assert np.count_nonzero(anywhere.state == BREACH) > np.count_nonzero(home.state == BREACH)
    # The lamp's rules keep neighbours apart: what they leave out is no breach of the map.
    allowed = map_of(ruled, DriveName("fold 5"), DriveName("twist 5"), others="any", leaf=3.0)
    assert np.count_nonzero(allowed.state == BREACH) < np.count_nonzero(anywhere.state == BREACH)


@pytest.mark.parametrize("others", ["home", "any"])
def test_what_rules_leave_out_is_never_called_clear(others: str) -> None:
    ruled = read_project(SAMPLES / "signal_lantern.bay.json")
    free = map_of(msgspec.structs.replace(ruled, allowed_together=()), AMBER, BLUE, others=others, leaf=1.0)
    found = map_of(ruled, AMBER, BLUE, others=others, leaf=1.0)
    (across, up), shape = found.edges, found.state.shape
    # Its rules: while one flap is beyond 30 the other stays within 20. A cell that goes beyond both ends holds what they leave out.
    beyond = ((across[None, 1:] > 30 + EDGE) & (up[1:, None] > 20 + EDGE)) | ((across[None, 1:] > 20 + EDGE) & (up[1:, None] > 30 + EDGE))
    assert (free.state == BREACH).any()
    assert np.all(found.state[beyond] == RULED_OUT)
    assert np.all(found.state[~beyond] == free.state[~beyond])
    assert np.all(beyond[free.state == BREACH])
    assert np.all(found.pair[beyond] == np.full(shape, -1)[beyond])


def test_a_rule_on_a_drive_that_stands_at_home_leaves_out_what_it_forbids_there() -> None:
    ruled = read_project(SAMPLES / "signal_lantern.bay.json")
    spare = msgspec.structs.replace(ruled.drives[0], name=DriveName("spare"), moves=(), home=10.0)
    rule = AllowedTogether(when=DriveSpan(drive=spare.name, start=5.0, end=57.0), keep=DriveSpan(drive=AMBER, start=0.0, end=40.0))
    project = msgspec.structs.replace(ruled, drives=(*ruled.drives, spare), allowed_together=(rule,))
    home, anywhere = (map_of(project, AMBER, BLUE, others=others, leaf=8.0) for others in ("home", "any"))
    start, end = home.edges[0][:-1], home.edges[0][1:]
    assert np.all(home.state[:, start > 40 - EDGE] == RULED_OUT)
    assert not (home.state[:, end > 40 + EDGE] == CLEAR).any()
    assert not (home.state[:, end < 40 + EDGE] == RULED_OUT).any()
    assert not (anywhere.state == RULED_OUT).any()  # the spare drive can always stand where amber may go on


def test_a_closed_loop_on_the_path_is_mapped_too() -> None:
    project = read_project(SAMPLES / "barrier_arm.bay.json")
    spare = msgspec.structs.replace(project.drives[0], name=DriveName("spare"), moves=())
    project = msgspec.structs.replace(project, drives=(*project.drives, spare))
    found = map_of(project, DriveName("swing"), DriveName("spare"), leaf=1.0)
    assert not found.left_out
    low, high = 31.808, 45.0  # The arm's own breach, which the solo sweep is held to elsewhere.
    assert state_at(found, (low - 1.5, 0.0)) == CLEAR
    assert state_at(found, (low + 1.5, 0.0)) == BREACH
    assert state_at(found, (high - 0.1, 0.0)) == BREACH


def test_the_same_map_twice_and_bad_questions_refused() -> None:
    project = mirrored_arms()
    one, two = (map_of(project, LEFT, RIGHT, leaf=2.0) for _ in range(2))
    assert np.array_equal(one.state, two.state)
    assert np.array_equal(one.pair, two.pair)
    with pytest.raises(ValueError, match="two drives"):
        map_of(project, LEFT, LEFT)
    with pytest.raises(KeyError):
        map_of(project, LEFT, DriveName("nobody"))


def test_a_small_cap_leaves_cells_undecided_and_never_clear() -> None:
    project = mirrored_arms()
    full, capped = map_of(project, LEFT, RIGHT, leaf=1.0), map_of(project, LEFT, RIGHT, leaf=1.0, boxes=20)
    assert np.count_nonzero(capped.state == UNDECIDED) > np.count_nonzero(full.state == UNDECIDED)
    assert not ((capped.state == CLEAR) & (full.state == BREACH)).any()


@pytest.fixture
def executors():
    """Threads and processes, two of each, and one process alone."""
    spawn = multiprocessing.get_context("spawn")
    with ThreadPoolExecutor(2) as threads, ProcessPoolExecutor(1, spawn) as one, ProcessPoolExecutor(2, spawn) as two:
        yield threads, one, two


@pytest.mark.parametrize("others", ["home", "any"])
def test_the_map_is_the_same_with_any_executor(executors, others: str) -> None:
    project = ring_bay(4)

    def mapped(executor=None):
        return map_of(project, DriveName("fold 1"), DriveName("twist 2"), others=others, leaf=0.25, executor=executor)

    alone = mapped()
    assert alone.state.shape == (128, 512)
    assert {CLEAR, BREACH} <= set(np.unique(alone.state))
    for executor in executors:
        found = mapped(executor)
        assert np.array_equal(found.state, alone.state)
        assert np.array_equal(found.pair, alone.pair)
        assert (found.pairs, found.work) == (alone.pairs, alone.work)


def test_tiles_that_are_not_painted_when_it_is_stopped_are_undecided() -> None:
    project = ring_bay(4)
    shares: list[float] = []

    def stop_at_once(share: float) -> bool:
        shares.append(share)
        return False

    with ThreadPoolExecutor(1) as threads:
        found = map_of(project, DriveName("fold 1"), DriveName("twist 2"), leaf=0.25, executor=threads, progress=stop_at_once)
    assert len(shares) == 1
    assert (found.state == UNDECIDED).any()
    full = map_of(project, DriveName("fold 1"), DriveName("twist 2"), leaf=0.25)
    assert not ((found.state == CLEAR) & (full.state != CLEAR)).any()
