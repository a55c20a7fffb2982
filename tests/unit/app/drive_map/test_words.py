"""What the map says of a place, where rules between drives leave something out."""

import numpy as np

from app.command_line import sample_files
from app.drive_map import words
from core.model.names import DriveName
from core.project_file.read import read_project
from core.sentences import plain
from core.sweep.drive_map import BREACH, RULED_OUT, UNDECIDED, map_of

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
