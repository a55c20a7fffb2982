"""An answer that goes through a pipe in parts comes out whole, and what was told before is not sent again."""

from copy import deepcopy
from dataclasses import replace

import numpy as np
import pytest

from app.command_line import sample_files
from app.jobs.told_again import NEW, ToldBefore
from core.model.edit_placing import place_bodies
from core.model.placing import moving
from core.project_file.read import read_project
from core.sweep.kept import Kept
from core.sweep.run import check_project

PROJECT = read_project(sample_files()["petal_lamp"])
SECTION = PROJECT.sections[0]
POST = next(body.name for body in SECTION.bodies if body.name == "post 1")


def answers(*shifts):
    """Verdicts of the lamp with a post moved by so many mm, one after another, as a worker finds them."""
    kept = Kept()
    for shift in shifts:
        moved = place_bodies(PROJECT, SECTION.name, (POST,), moving(shift=(shift, 0.0)))
        yield check_project(moved, seek="verdict", safe_anywhere=False, safe_box=False, kept=kept)


def through(sends, hears, kind, answer):
    """What comes out at the other end, and what went through the pipe."""
    sent = deepcopy(sends.shorten(kind, answer))  # no record of one end is one of the other
    return hears.whole(kind, sent), sent


def test_each_answer_of_a_drag_comes_out_as_it_was():
    sends, hears = ToldBefore(), ToldBefore()
    for answer in answers(0.0, 0.5, 1.0, 0.5, 0.0):
        assert through(sends, hears, "followed", answer)[0] == answer


def test_only_checks_of_the_body_that_moved_are_sent_again():
    sends, hears = ToldBefore(), ToldBefore()
    first, second = answers(0.0, 0.5)
    assert set(through(sends, hears, "followed", first)[1].places.tolist()) == {NEW}
    sent = through(sends, hears, "followed", second)[1]
    assert sent.rest.checks == ()
    assert sent.fresh
    assert all(POST in check.between for check in sent.fresh)
    assert (sent.places == NEW).sum() == len(sent.fresh) < len(second.checks) / 2


def test_what_was_told_before_is_the_very_same_record_when_it_comes_out():
    sends, hears = ToldBefore(), ToldBefore()
    first, second = (through(sends, hears, "followed", answer)[0] for answer in answers(0.0, 0.5))
    known = {id(check) for check in first.checks}
    assert all((id(check) in known) == (POST not in check.between) for check in second.checks)


def test_answers_of_one_kind_do_not_stand_for_those_of_another():
    sends, hears = ToldBefore(), ToldBefore()
    first, second = answers(0.0, 0.5)
    through(sends, hears, "followed", first)
    proved = replace(first, checks=first.checks[:3])
    assert through(sends, hears, "proved", proved)[0] == proved
    out, sent = through(sends, hears, "followed", second)
    assert out == second
    assert len(sent.fresh) < len(second.checks) / 2


def test_checks_that_hold_without_rules_come_out_as_such():
    result = check_project(read_project(sample_files()["signal_lantern"]), safe_anywhere=False, safe_box=False)
    assert result.without_rules
    sends, hears = ToldBefore(), ToldBefore()
    for _ in range(2):
        out, sent = through(sends, hears, "proved", result)
        assert out == result
    assert len(sent.fresh) == 0


def test_an_answer_without_checks_comes_out_as_it_was():
    (answer,) = answers(0.0)
    bare = replace(answer, checks=())
    assert through(ToldBefore(), ToldBefore(), "proved", bare)[0] == bare


def test_where_one_answer_was_missed_the_next_is_not_made_up():
    sends, hears = ToldBefore(), ToldBefore()
    first, second = answers(0.0, 0.5)
    sends.shorten("followed", first)
    sent = sends.shorten("followed", second)
    assert np.any(sent.places != NEW)
    with pytest.raises(IndexError):
        hears.whole("followed", sent)
