"""What the map says of a place, where rules between drives leave something out."""

from dataclasses import replace

import numpy as np
import pytest

from app.command_line import sample_files
from app.drive_map import words
from core.model.names import DriveName
from core.project_file.read import read_project
from core.sentences import plain
from core.sweep.drive_map import BREACH, CLEAR, RULED_OUT, UNDECIDED, map_of

DRIVES = (DriveName("amber"), DriveName("blue"))


def lantern(others="any"):
    project = read_project(sample_files()["signal_lantern"])
    return project, map_of(project, *DRIVES, others=others, leaf=4.0)


def test_a_place_that_rules_leave_out_is_not_called_clear():
    project, found = lantern()
    told = words.place(found, (50.0, 50.0), DRIVES, project, plain)
    assert "clear" not in told
    assert "your rules between drives leave out some of this cell or all; nothing is said of that." in told
    assert words.place(found, (5.0, 5.0), DRIVES, project, plain).endswith("proved clear, wherever your rules let the other drives be.")


def test_a_map_of_which_rules_leave_something_out_is_clear_within_them_alone():
    _, found = lantern()
    assert {*np.unique(found.state)} == {0, RULED_OUT}
    assert words.standing(found, mapping=False, tr=plain) == "clear within your rules"


def test_what_is_worse_counts_where_a_pixel_holds_several_cells():
    assert 0 < RULED_OUT < UNDECIDED < BREACH


@pytest.mark.parametrize(
    ("cells", "told", "so_far"),
    [
        ({CLEAR: 1000}, "all clear", "clear so far"),
        ({CLEAR: 999, RULED_OUT: 1}, "clear within your rules", "clear so far"),
        ({CLEAR: 999, BREACH: 1}, "under 1 % breach", "under 1 % breach so far"),
        ({CLEAR: 989, BREACH: 11}, "2 % breach", "2 % breach so far"),
        ({CLEAR: 800, BREACH: 190, UNDECIDED: 10}, "19 % breach, 1 % undecided", "19 % breach so far"),
        ({CLEAR: 996, UNDECIDED: 4}, "under 1 % undecided", "mapping"),
    ],
)
def test_how_much_of_the_map_breaches(cells, told, so_far):
    _, found = lantern()
    state = np.repeat(np.array(list(cells), dtype=np.uint8), list(cells.values())).reshape(25, 40)
    shown = replace(found, state=state)
    assert words.standing(shown, mapping=False, tr=plain) == told
    assert words.standing(shown, mapping=True, tr=plain) == so_far
