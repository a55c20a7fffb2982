"""What stands beside the sentence agrees with the findings and the steps where there is nothing to prove."""

from pathlib import Path

from app.document.answer import Answer
from app.panels.standing import Stand, covered, no_findings, states
from core.model.edit_project import new_project
from core.project_file.read import read_project
from core.sweep.run import check_project

LANTERN = Path(__file__).parents[4] / "sample_projects" / "signal_lantern.bay.json"


def said(text):
    return text


def stand_of(project):
    answer = Answer(project, result=check_project(project, safe_anywhere=False, safe_box=False))
    return Stand(project, None, answer, {}, sweeping=False, handed_over=None)


def test_of_an_empty_bay_nothing_is_said_to_be_proved():
    stand = stand_of(new_project())
    assert covered(stand, said) == ("Nothing to prove yet", "", "quiet")
    assert no_findings(stand, said) == "Nothing to check yet."
    assert states(stand, said)["Gaps"][0] == "nothing to check"


def test_of_a_bay_that_moves_it_is_said_what_was_covered():
    upper, lower, tone = covered(stand_of(read_project(LANTERN)), said)
    assert (upper, tone) == ("Nothing left undecided", "proved")
    assert lower.startswith("2 drives, every combination, ")
