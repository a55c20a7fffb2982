from core.handover.map_choice import choices, maps_that_tell
from core.project_file.read import read_project
from core.sweep.drive_map import BREACH
from core.sweep.run import check_project
from tests.bays import AWAY, bar, bay, body, box, disc, drive, project, slide, turned
from tests.unit.test_samples import SAMPLES


def meeting_halfway():
    """Two sleds 10 apart that each travel 6 toward the other: neither reaches the other's home, both together meet."""
    bodies = [body("bay", disc(0, 50, 1), fixed=True), body("left", box(-10, 0, 10, 4)), body("right", box(10, 0, 10, 4))]
    joints = [slide("left rail", "bay", "left", at=AWAY), slide("right rail", "bay", "right", along=180.0, at=AWAY)]
    drives = [drive("push", (0, 6), "left rail", unit="mm"), drive("pull", (0, 6), "right rail", unit="mm")]
    return project(bay(bodies, joints, drives, required_gap=0.5))


def test_the_two_drives_of_a_breach_that_neither_makes_alone_are_mapped():
    bay = meeting_halfway()
    result = check_project(bay)
    assert choices(bay, result) == (("push", "pull", "home"),)
    (found,) = maps_that_tell(bay, result)
    assert (found.state[-1, -1], found.state[0, 0]) == (BREACH, 0)


def test_where_single_drives_tell_it_all_no_map_is_drawn():
    bay = project(turned(disc(10, 0, 2), bar((0, -10), (0, -4), 1), travel=(-10, 100)))
    result = check_project(bay)
    assert result.verdict == "breach"
    assert choices(bay, result) == ()


def test_the_lamps_hidden_breaches_are_mapped_deepest_first():
    lamp = read_project(SAMPLES / "petal_lamp.bay.json")
    found = choices(lamp, check_project(lamp))
    assert 1 <= len(found) <= 4
    assert all(first != second for first, second, _ in found)


def test_a_map_that_breaches_all_over_is_left_out():
    """Of the lamp petal 3 and petal 4 meet by three drives; with the others anywhere, something is too close in every cell of two."""
    lamp = read_project(SAMPLES / "petal_lamp.bay.json")
    result = check_project(lamp)
    assert choices(lamp, result)
    assert maps_that_tell(lamp, result) == ()
