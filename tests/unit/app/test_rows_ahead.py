"""Rows are made where an answer is heard, and whoever shows the very same records finds them made."""

import pytest

from app.command_line import sample_files
from app.jobs import rows_ahead
from app.jobs.rows_ahead import RowsAhead
from app.jobs.work import MapAsk, ProveAsk
from core.project_file.read import read_project
from core.sweep.profile import profiles
from core.sweep.run import check_project
from core.sweep.timeline import timeline

PROJECT = read_project(sample_files()["barrier_arm"])


@pytest.fixture(scope="module")
def told():
    """What a sweep tells one after another: coarse profiles, result, fine profiles."""
    return profiles(PROJECT, 20), check_project(PROJECT, safe_anywhere=False, safe_box=False), profiles(PROJECT, 60)


@pytest.fixture
def made(monkeypatch):
    """The records of which rows are made, in order."""
    asked = []

    def noted(project, sampled, result):
        asked.append((sampled, result))
        return timeline(project, sampled, result)

    monkeypatch.setattr(rows_ahead, "timeline", noted)
    return asked


def heard(told, ask=None, number=1):
    ahead = RowsAhead()
    coarse, result, fine = told
    ask = ProveAsk(PROJECT) if ask is None else ask
    for kind, what in (("profiled", coarse), ("prepared", object()), ("proved", result), ("profiled", fine)):
        ahead.hear(number, ask, kind, what)
    return ahead


def test_each_state_of_an_answer_finds_its_rows_made(told, made):
    ahead = heard(told)
    coarse, result, fine = told
    states = [(coarse, None), (coarse, result), (fine, result)]
    assert made == states
    rows = [ahead.rows(PROJECT, *state) for state in states]
    assert made == states
    assert rows == [timeline(PROJECT, *state) for state in states]


def test_rows_of_other_records_are_made_when_they_are_asked_for(told, made):
    ahead = heard(told)
    fine = told[2]
    assert ahead.rows(PROJECT, fine, None) == timeline(PROJECT, fine, None)
    assert made[3:] == [(fine, None)]


@pytest.mark.parametrize("ask", [ProveAsk(PROJECT, live=True), MapAsk(PROJECT, (PROJECT.drives[0].name,) * 2, "home")], ids=["live", "map"])
def test_rows_are_made_of_whole_sweeps_only(told, made, ask):
    heard(told, ask)
    assert not made


def test_what_was_told_of_another_question_is_left_out(told, made):
    ahead = heard(told)
    coarse, result, _ = told
    ahead.hear(2, ProveAsk(PROJECT), "proved", result)
    assert made[3:] == [((), result)]
    ahead.rows(PROJECT, coarse, result)
    assert made[4:] == [(coarse, result)]


@pytest.mark.parametrize(("kind", "live"), [("proved", False), ("followed", True)])
def test_what_a_hand_on_a_drive_asks_of_an_answer_is_sorted_where_it_is_heard(kind, live):
    result = check_project(PROJECT, safe_anywhere=False, safe_box=False)
    assert "solo_of" not in vars(result)
    RowsAhead().hear(1, ProveAsk(PROJECT, live=live), kind, result)
    sorted_by = vars(result)["solo_of"]
    asked = {(section.name, drive.name) for section in PROJECT.sections for drive in PROJECT.drives}
    assert {key: [one for one in result.of_sweep("solo") if (one.section, one.drives) == (key[0], key[1:])] for key in asked} == {
        key: list(sorted_by.get(key, ())) for key in asked
    }
    assert sum(map(len, sorted_by.values())) == sum(len(one.drives) for one in result.of_sweep("solo")) > 0
