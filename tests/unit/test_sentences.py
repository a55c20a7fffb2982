"""Sentences built from hand-made answers of a petal lamp and a barrier arm."""

import ast
import re
from dataclasses import replace
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace as with_fields

import core as core_of_the_program
from core.model.faults import FAULTS
from core.model.finding import Finding, Place
from core.model.project import AllowedTogether, Body, Drive, DriveSpan, Project, Section
from core.model.shapes import Disc
from core.sentences import (
    caution,
    check_sentence,
    counts_sentence,
    degree_sign,
    finding_sentence,
    not_covered_sentences,
    only_together,
    plain,
    unchecked_reason,
    unchecked_sentence,
    verdict_sentence,
    way_out_sentence,
    why,
)
from core.sentences.findings import SENTENCES
from core.sentences.numbers import drive_value, mm, proved_mm, rounded
from core.sweep.result import Breach, Check, Knuckle, SweepResult, Unchecked, Work

DISC = Disc(centre=(0.0, 0.0), radius=1.0)
PETALS = tuple(Body(name=f"petal {place}", fixed=False, depth=(0.0, 2.0), shapes=(DISC,)) for place in range(1, 6))


def drive(name, start=0.0, end=64.0, home=0.0, unit="deg"):
    return Drive(name=name, unit=unit, start=start, end=end, home=home, speed=300.0, moves=())


FOLDS = tuple(drive(f"fold {place}") for place in range(1, 6))
TWISTS = tuple(drive(f"twist {place}", start=-15.0, end=15.0) for place in range(1, 6))
LAMP = Project(format=1, name="Petal lamp", required_gap=1.0, sections=(Section(name="Top", bodies=PETALS),), drives=FOLDS + TWISTS)
ARM = Project(
    format=1, name="Arm", required_gap=1.0, sections=(Section(name="Side", bodies=PETALS[:2]),), drives=(drive("swing", -45, 45),)
)


def check(sweep="solo", drives=("fold 2",), between=("petal 2", "petal 3"), verdict="clear", **changes):
    plain_check = Check(
        sweep=sweep,
        drives=drives,
        section="Top",
        between=between,
        required_gap=1.0,
        tolerance=0.0,
        verdict=verdict,
        proof="bounded",
        reached=tuple((name, -15.0, 15.0) if name.startswith("twist") else (name, 0.0, 64.0) for name in drives),
        lowest_gap=1.22,
        at=tuple((name, 0.0) for name in drives),
        way_out=None,
        floor=1.2199,
    )
    return replace(plain_check, **changes)


def result(*checks, verdict="clear", covers="all", **changes):
    answer = SweepResult("Petal lamp", verdict, covers, checks, (), (), (), Work(), 0.01)
    return replace(answer, **changes)


OVERLAP = check(
    verdict="breach",
    lowest_gap=-5.06,
    at=(("fold 2", 64.0),),
    floor=None,
    breaches=(Breach(51.2, 64.0, ((51.2, 64.0),), -5.06, 64.0),),
)
SHORT = check(drives=("fold 1",), between=("petal 1", "petal 2"), verdict="breach", lowest_gap=0.96, at=(("fold 1", 52.0),), floor=0.951)
TOGETHER = check(
    "combined",
    ("fold 3", "twist 3", "twist 4"),
    ("petal 3", "petal 4"),
    "breach",
    lowest_gap=0.0,
    at=(("fold 3", 50.0), ("twist 3", 9.0), ("twist 4", -9.0)),
    floor=None,
)


def test_clear_tells_the_proved_gap_rounded_down_and_what_was_asked():
    checks = (check("combined", lowest_gap=1.2199, floor=1.2181), check("combined", lowest_gap=3.0, floor=2.999))
    assert verdict_sentence(result(*checks), LAMP, plain) == (
        "Clear: in every position the 10 drives can reach together, no checked pair comes closer than 1.21 mm. You asked for 1.00 mm."
    )


def test_clear_without_drives_is_told_of_the_drawing_alone():
    still = with_fields(ARM, drives=())
    told = result(check("combined", (), ("petal 1", "petal 2"), floor=1.2199))
    assert verdict_sentence(told, still, plain).startswith(
        "Clear: as drawn, with no drive to move anything, no checked pair comes closer than 1.21 mm."
    )


def test_clear_takes_outline_tolerances_off_and_says_so():
    told = verdict_sentence(result(check("combined", floor=1.5, tolerance=0.2)), LAMP, plain)
    assert "closer than 1.30 mm" in told
    assert told.endswith("The outline tolerances you gave are taken off.")


def test_clear_of_different_required_gaps_names_the_pair_with_least_to_spare():
    roomy = check("combined", between=("petal 1", "petal 4"), floor=0.8, required_gap=0.2)
    told = verdict_sentence(result(roomy, check("combined", floor=1.05)), LAMP, plain)
    assert "The tightest is petal 2 and petal 3, never closer than 1.05 mm; you asked for 1.00 mm there." in told


def test_clear_of_solo_sweeps_claims_no_more_than_they_cover():
    told = verdict_sentence(result(check(), covers="solo"), LAMP, plain)
    assert "with one of the 10 drives moving and the others at home" in told
    assert "together" not in told
    assert "Positions that drives reach only together were not looked at." in not_covered_sentences(
        result(check(), covers="solo"), LAMP, plain
    )


def test_a_gap_drawn_exactly_as_required_is_told_as_met_though_its_floor_falls_short_by_rounding():
    assert "closer than 1.00 mm. You asked for 1.00 mm." in verdict_sentence(result(check("combined", floor=1.0 - 2e-6)), LAMP, plain)


def test_an_answer_without_checks_does_not_read_as_clear():
    assert verdict_sentence(result(), LAMP, plain).startswith("Nothing was checked")


def test_breach_of_one_drive_tells_first_contact_and_the_deepest_place():
    told = verdict_sentence(result(check(), OVERLAP, SHORT, verdict="breach"), LAMP, plain)
    assert told == "Breach: petal 2 meets petal 3 once fold 2 passes 51.2 deg, and is 5.06 mm deep at 64 deg."


def test_breach_that_begins_before_contact_tells_where_the_asked_gap_is_missed():
    wider = replace(OVERLAP, breaches=(Breach(40.126, 64.0, ((51.2, 64.0),), -5.06, 64.0),))
    assert check_sentence(wider, LAMP, plain).endswith("The 1.00 mm you asked for is missed with fold 2 from 40.12 to 64 deg.")


@pytest.mark.parametrize(
    ("contact", "home", "told"),
    [
        ((-45.0, -20.0), 0.0, "once swing falls below -20 deg"),
        ((36.401, 40.29), 0.0, "while swing is between 36.4 and 40.29 deg"),
        ((-5.0, 5.0), 0.0, "with swing at home, from -5 to 5 deg"),
        ((-45.0, 45.0), 0.0, "over the whole travel of swing"),
        ((36.401, 45.0), 0.0, "once swing passes 36.4 deg"),
    ],
)
def test_contact_is_told_as_it_is_met_on_the_way_from_home(contact, home, told):
    arm = replace_home(ARM, home)
    breach = Breach(*contact, (contact,), -0.2, contact[0])
    found = check(drives=("swing",), verdict="breach", reached=(("swing", -45.0, 45.0),), lowest_gap=-0.2, breaches=(breach,))
    assert told in check_sentence(found, arm, plain)


def replace_home(project, home):
    return Project(format=1, name=project.name, required_gap=1.0, sections=project.sections, drives=(drive("swing", -45, 45, home),))


def test_short_by_carries_its_number():
    assert check_sentence(SHORT, LAMP, plain) == (
        "Petal 1 clears petal 2 by only 0.96 mm at fold 1 = 52 deg. That is 0.04 mm short of what you asked."
    )


def test_short_by_a_hair_never_reads_as_nothing_short():
    told = check_sentence(replace(SHORT, lowest_gap=0.99999), LAMP, plain)
    assert "by only 0.99 mm" in told
    assert "0.01 mm short" in told


def test_short_by_is_counted_after_outline_tolerance():
    told = check_sentence(replace(SHORT, lowest_gap=1.06, tolerance=0.1), LAMP, plain)
    assert "by only 0.96 mm" in told
    assert "0.10 mm of outline tolerance is taken off. That is 0.04 mm short" in told


def test_a_meeting_that_only_tolerances_make_is_told_as_possible():
    told = check_sentence(replace(SHORT, lowest_gap=0.05, tolerance=0.2), LAMP, plain)
    assert told == "Petal 1 can meet petal 2 at fold 1 = 52 deg: 0.05 mm apart as drawn, and the outlines may be 0.20 mm larger."


def test_a_pair_that_only_meets_in_combination_says_so_with_an_example():
    answer = result(check(between=("petal 3", "petal 4")), TOGETHER, verdict="breach")
    assert only_together(TOGETHER, answer)
    assert verdict_sentence(answer, LAMP, plain) == (
        "Breach: petal 3 meets petal 4 only when drives move together, for example fold 3 at 50 deg with twist 3 at 9 deg and "
        "twist 4 at -9 deg."
    )


def test_a_combined_breach_is_not_called_only_together_where_solo_sweeps_see_it_or_were_not_made():
    seen = replace(OVERLAP, between=("petal 3", "petal 4"))
    assert not only_together(TOGETHER, result(seen, TOGETHER, verdict="breach"))
    assert not only_together(TOGETHER, result(TOGETHER, verdict="breach", covers="combined"))
    undecided = replace(seen, verdict="undecided")
    assert not only_together(TOGETHER, result(undecided, TOGETHER, verdict="breach"))


def test_a_solo_breach_is_told_before_a_deeper_combined_one_of_the_same_pair():
    deeper = check(
        "combined", ("fold 2", "twist 2"), verdict="breach", lowest_gap=-9.0, at=(("fold 2", 60.0), ("twist 2", 9.0)), floor=None
    )
    told = verdict_sentence(result(deeper, OVERLAP, verdict="breach"), LAMP, plain)
    assert "once fold 2 passes" in told
    assert told.endswith("Worse when drives move together: 9.00 mm deep with fold 2 at 60 deg and twist 2 at 9 deg.")


def test_too_little_depth_is_never_called_a_meeting():
    told = check_sentence(check(verdict="breach", depth_gap=0.1, lowest_gap=0.1, required_gap=0.3), LAMP, plain)
    assert told == "Petal 2 and petal 3 pass over each other only 0.10 mm apart at fold 2 = 0 deg. You asked for 0.30 mm there."


def test_undecided_for_want_of_time_tells_what_is_still_possible_and_what_helps():
    left = [check("combined", between=("petal 1", name), verdict="undecided", floor=0.316, open_share=0.2) for name in "abc"]
    assert verdict_sentence(result(*left, verdict="undecided", stopped=True), LAMP, plain) == (
        "Not decided: 3 pairs. The time allowed ran out; nothing closer than 0.31 mm is possible there. "
        "Allow more time, or a coarser resolution."
    )


def test_undecided_for_want_of_boxes_that_may_overlap_says_how_deep():
    left = check("combined", verdict="undecided", floor=-0.121, open_share=0.00001)
    told = verdict_sentence(result(left, verdict="undecided"), LAMP, plain)
    assert told == (
        "Not decided: 1 pair. The boxes allowed ran out; an overlap of up to 0.13 mm is possible there. "
        "Allow more boxes, or a coarser resolution."
    )
    assert "less than 0.01 % of its positions are left" in check_sentence(left, LAMP, plain)


def test_sampled_pairs_are_looked_at_not_proved():
    sampled = check("combined", verdict="undecided", proof="sampled", floor=None, step=0.05)
    told = verdict_sentence(result(sampled, verdict="undecided"), LAMP, plain)
    assert "Looked at, not proved: poses up to 0.05 mm apart were tried on this closed loop. A thinner meeting could be missed." in told


def test_travel_that_was_not_reached_is_told_with_the_values_that_were():
    stopped = check(verdict="undecided", reached=(("fold 2", 0.0, 51.2345),))
    assert "Fold 2 was reached only from 0 deg to 51.23 deg." in check_sentence(stopped, LAMP, plain)


def test_undecided_without_any_number_names_the_joint_that_nothing_moves():
    told = verdict_sentence(result(check(verdict="undecided", floor=None), verdict="undecided"), LAMP, plain)
    assert "A joint is moved by no drive" in told


def test_counts_take_each_pair_once_at_its_worst():
    answer = result(OVERLAP, check("combined"), check(between=("petal 4", "petal 5")), SHORT, verdict="breach")
    assert counts_sentence(answer, plain) == "2 pairs breach, 1 pair is clear."


def test_the_section_is_named_where_there_are_several():
    two = Project(format=1, name="Two", required_gap=1.0, sections=(*LAMP.sections, Section(name="Side", bodies=())), drives=LAMP.drives)
    assert verdict_sentence(result(OVERLAP, verdict="breach"), two, plain).startswith("Breach: in Top, petal 2 meets")
    assert check_sentence(OVERLAP, two, plain).startswith("In Top, petal 2 meets")
    assert any("Sections are proved apart" in told for told in not_covered_sentences(result(OVERLAP), two, plain))
    assert not any("Sections are proved apart" in told for told in not_covered_sentences(result(OVERLAP), LAMP, plain))


def test_names_keep_their_own_spelling_inside_a_sentence():
    told = verdict_sentence(result(replace(OVERLAP, between=("pH rod", "rib")), verdict="breach"), LAMP, plain)
    assert told.startswith("Breach: pH rod meets rib")


def test_pairs_that_were_not_checked_are_counted():
    pairs = tuple(Unchecked("Top", ("petal 1", f"petal {place}"), "passes-over", depth_gap=3.0) for place in (2, 3))
    assert unchecked_sentence(result(unchecked=pairs), plain) == (
        "2 pairs were not checked. Each is listed with its reason; this answer says nothing about them."
    )
    assert unchecked_reason(pairs[0], plain) == "passes over, 3.00 mm apart"
    assert unchecked_reason(Unchecked("Top", ("a", "b"), "rule", "printed in one piece"), plain) == "printed in one piece"
    assert unchecked_sentence(result(), plain) == ""


def test_missing_tolerances_and_guessed_sizes_are_told():
    told = " ".join(not_covered_sentences(result(check()), LAMP, plain))
    assert told.startswith("Proved for the shapes as drawn, rigid and straight through their depth. Print errors, play and bending are not")
    assert "No outline tolerance is given: every body is taken to be made exactly as drawn." in told
    first = Body(name="horn", fixed=False, depth=(0, 2), shapes=(DISC,), outline_tolerance=0.1, trust="guessed")
    mixed = Project(format=1, name="Mixed", required_gap=1.0, sections=(Section(name="Top", bodies=(first, PETALS[0])),))
    told = " ".join(not_covered_sentences(result(check()), mixed, plain))
    assert "No outline tolerance is given for petal 1:" in told
    assert "Drawn from typical or guessed sizes, not measured: horn." in told


def test_pairs_on_one_pin_and_those_with_nothing_else_to_check_are_counted():
    knuckles = (Knuckle("Top", "pin", ("a", "b"), (0, 0), 3.0), Knuckle("Top", "pin", ("a", "c"), (0, 1), 3.0, left=False))
    told = " ".join(not_covered_sentences(result(check(between=("a", "b")), knuckles=knuckles), LAMP, plain))
    assert "2 pairs share a pin: about it, inside the relief disc, nothing is checked. 1 of them has nothing else to check." in told


def test_positions_that_a_rule_on_drives_leaves_out_are_told():
    rule = AllowedTogether(when=DriveSpan(drive="fold 1", start=42, end=64), keep=DriveSpan(drive="fold 2", start=0, end=10))
    ruled = Project(format=1, name="Lamp", required_gap=1.0, sections=LAMP.sections, drives=LAMP.drives, allowed_together=(rule,))
    assert (
        "Left out by your rule: positions where fold 1 is between 42 and 64 deg but fold 2 is not between 0 and 10 deg."
        in not_covered_sentences(result(check()), ruled, plain)
    )


def test_the_caution_says_what_the_program_is_not():
    assert caution(plain) == (
        "This is a drawing check, not a safety device. Cut the power before reaching in; a stalled motor can move without warning. "
        "Follow local rules, and have a competent person judge anything that can hurt someone."
    )


def test_why_tells_who_over_what_asked_found_and_how_it_is_proved():
    lines = why(replace(TOGETHER, way_out=(0.1, -0.12)), LAMP, plain)
    assert lines[0] == "Petal 3 and petal 4 of Top."
    assert lines[1] == "Over every combination of fold 3 from 0 to 64 deg, twist 3 from -15 to 15 deg and twist 4 from -15 to 15 deg."
    assert "1.00 mm was asked." in lines
    assert "No floor is proved." in lines
    assert lines[-1] == "The shortest way apart there: petal 4 goes 0.10 mm right and 0.12 mm down."
    assert "Proved: nowhere closer than 1.21 mm." in why(check(), LAMP, plain)
    assert why(check(), LAMP, plain)[1] == "Over fold 2 from 0 to 64 deg, with every other drive at home."


def test_no_way_out_is_told_where_there_is_none():
    assert way_out_sentence(check(), plain) == ""
    assert way_out_sentence(check(way_out=(-0.3, 0.0)), plain) == "The shortest way apart there: petal 3 goes 0.30 mm left."


def test_a_window_shows_the_degree_sign():
    assert "passes 51.2°" in check_sentence(OVERLAP, LAMP, degree_sign(plain))


def test_every_sentence_goes_through_the_translator():
    assert "EINGRIFF" in verdict_sentence(
        result(OVERLAP, verdict="breach"), LAMP, lambda text: text.replace("Breach: {sentence}", "EINGRIFF: {sentence}")
    )


def test_findings_of_a_sweep_read_as_sentences():
    still = Finding("warning", Place(section="Top"), "still-overlap", {"first": "motor 1", "second": "motor 2", "depth": 0.4})
    assert finding_sentence(still, plain).startswith("Motor 1 and motor 2 overlap by 0.40 mm as drawn")


MOTION_DATA = {"bodies": ("cam", "lever"), "joints": ("hub pin", "rail"), "freedoms": 2, "number": 1, "misfit": 0.0855}
MOTION_DATA |= {"from": -12.3456, "to": 31.4159, "value": 31.4159, "unit": "deg"}
DATA = {**MOTION_DATA, "first": "motor", "second": "rib", "joint": "hub pin", "depth": 0.4, "play": 0.15, "key": "pulse", "where": "swing"}
DATA |= {"measure": "deg", "low": 31.752, "high": 32.335}


@pytest.mark.parametrize("code", sorted(SENTENCES))
def test_every_code_fills_its_sentence(code):
    place = Place(section="Top", joint="hub pin", drive="swing")
    told = finding_sentence(Finding("note", place, code, DATA), plain)
    assert told.endswith(".")
    assert code not in told
    assert "{" not in told


def test_holes_are_counted_from_one_and_told_as_what_is_wrong():
    place = Place(section="Side", body="plate", path="sections[0].bodies[2].shapes[0].holes[1]")
    outside = finding_sentence(Finding("error", place, "hole-outside", {"hole": 1}), plain)
    assert outside == "Hole 2 of plate lies outside the outline it is a hole of. Move it inside, or delete it."
    inside = finding_sentence(Finding("error", place, "hole-in-hole", {"hole": 1, "other": 0}), plain)
    assert inside.startswith("Hole 2 of plate lies in hole 1, or the other way round.")


def test_play_that_makes_a_pair_short_is_taken_off_and_told():
    short = check(verdict="breach", lowest_gap=1.1, floor=0.94, play=0.1525, at=(("fold 2", 10.0),))
    told = check_sentence(short, LAMP, plain)
    assert "clears petal 3 by only 0.94 mm" in told
    assert "0.16 mm is taken off for play." in told
    meets = check(verdict="breach", lowest_gap=0.1, floor=-0.1, play=0.15, at=(("fold 2", 10.0),))
    assert "0.10 mm apart with every pin centred, and play takes 0.15 mm" in check_sentence(meets, LAMP, plain)


def test_clear_says_that_play_is_taken_off():
    told = verdict_sentence(result(check("combined", lowest_gap=1.6, floor=1.45, play=0.15)), LAMP, plain)
    assert "closer than 1.45 mm" in told
    assert told.endswith("The play you gave is taken off.")
    assert "whatever the play of the joints, which takes 0.15 mm" in " ".join(why(check(play=0.15), LAMP, plain))


def test_a_pair_that_only_play_could_bring_too_close_is_told_as_not_decided_with_the_reason():
    told = check_sentence(check(verdict="undecided", lowest_gap=1.1, floor=0.94, play=0.16), LAMP, plain)
    assert "Play may take up to 0.16 mm of the 1.10 mm there" in told
    assert "no joint" not in told.lower()


def test_where_a_loop_is_not_shown_to_follow_its_drives_alone_that_is_said():
    told = check_sentence(check(verdict="undecided", floor=None, open_share=0.25), LAMP, plain)
    assert "25 % of its positions are left: there it is not proved that the drives alone settle where the loop stands." in told


def test_where_a_loop_stops_a_drive_is_told_with_its_unit_rounded_into_the_travel():
    data = {**MOTION_DATA, "play": 0.08551}
    place = Place(section="Top", drive="swing")
    told = finding_sentence(Finding("warning", place, "loop-not-assembled", data), plain)
    assert "Swing goes from -12.34 deg to 31.41 deg only" in told
    told = finding_sentence(Finding("warning", place, "loop-conflict", data), plain)
    assert "conflict by 0.086 mm" in told
    assert "fit from 0.086 mm of play in every joint" in told


def test_what_play_leaves_open_is_told_with_its_own_unit_rounded_outward():
    data = {"bodies": ("lever",), "joints": ("hub pin",), "value": 45.0, "unit": "deg", "measure": "deg", "low": 31.7521, "high": 32.3352}
    told = finding_sentence(Finding("note", Place(section="Top", drive="servo"), "play-left", data), plain)
    assert "servo at 45 deg" in told
    assert "leaves lever anywhere from 31.75 deg to 32.34 deg" in told
    along = {**data, "value": -3.0, "unit": "mm", "measure": "mm", "low": -0.1049, "high": 0.1049}
    told = finding_sentence(Finding("note", Place(section="Top", drive="push"), "play-left", along), plain)
    assert "push at -3 mm" in told
    assert "from -0.11 mm to 0.11 mm" in told


def kebab_words(file):
    """Every text of the form `two-words` in a module that makes findings: their codes, since nothing else is spelt so."""
    source = file.read_text(encoding="utf-8")
    if "Finding(" not in source and "_finding(" not in source:
        return set()
    texts = {node.value for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Constant) and isinstance(node.value, str)}
    return {text for text in texts if re.fullmatch(r"[a-z]+(-[a-z]+)+", text)}


def test_every_code_that_the_program_makes_has_a_sentence():
    core = Path(core_of_the_program.__file__).parent
    codes = set().union(*(kebab_words(file) for room in ("motion", "clearance", "sweep") for file in (core / room).glob("*.py")))
    assert "still-overlap" in codes
    assert codes - {"passes-over"} <= SENTENCES.keys()


def test_faults_of_a_project_are_told_with_place_and_remedy():
    assert "depth-empty" in FAULTS
    empty = Finding("error", Place(section="Top", body="petal 2", path="sections[0].bodies[1]"), "depth-empty", {"low": 3.0, "high": 1.0})
    told = finding_sentence(empty, plain)
    assert told.startswith("Petal 2 has a depth band from 3 to 1 mm")
    assert told.endswith(".")


def test_a_code_without_a_sentence_still_shows_its_data():
    assert (
        finding_sentence(Finding("note", Place(joint="hub pin"), "newer-code", {"gap": 0.5}), plain) == "newer-code: joint hub pin, gap 0.5"
    )


@given(st.floats(-1000, 1000), st.integers(0, 4))
def test_rounding_agrees_with_decimal_arithmetic_but_for_a_millionth_of_a_step(value, places):
    """Against `decimal` of the standard library."""
    step = Decimal(1).scaleb(-places)
    slack = step / 1_000_000
    exact = Decimal(value)
    down, up = Decimal(rounded(value, places=places, to="down")), Decimal(rounded(value, places=places, to="up"))
    assert down in {exact.quantize(step, ROUND_FLOOR), (exact + 2 * slack).quantize(step, ROUND_FLOOR)}
    assert up in {exact.quantize(step, ROUND_CEILING), (exact - 2 * slack).quantize(step, ROUND_CEILING)}


@given(st.floats(0, 50), st.floats(0, 10))
def test_a_proved_gap_is_never_told_larger_than_it_is(floor, required):
    told = float(proved_mm(floor, required=required, touch=3e-6, tr=plain).removesuffix(" mm"))
    assert told <= floor + 4e-6
    if floor >= required:
        assert told >= required - 1e-6


def test_no_number_is_minus_zero():
    assert mm(-0.001) == "0.00 mm"
    assert drive_value(-0.001, "deg", tr=plain) == "0 deg"
    assert drive_value(-12.25, "mm", tr=plain) == "-12.25 mm"
