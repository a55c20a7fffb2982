"""Every sample opens, keeps its bytes, satisfies the schema and gives the answer that its notes tell.

What is expected is read off each drawing's notes: which pairs breach, whether they touch, and whether one drive by itself does it.
"""

import json
import math
from functools import cache
from pathlib import Path

import jsonschema
import pytest

from app.command_line import main
from core.motion.linkage import linkage_of
from core.motion.mobility import mobility
from core.project_file.read import read_project
from core.project_file.schema import SCHEMA_FILE
from core.project_file.write import project_to_bytes
from core.sentences import plain, verdict_sentence
from core.sweep.json_form import sweep_as_json
from core.sweep.run import check_project

SAMPLES = Path(__file__).parents[2] / "sample_projects"
ENDING = ".bay.json"
NAMES = [path.name.removesuffix(ENDING) for path in sorted(SAMPLES.glob(f"*{ENDING}"))]

CONTACT, SHORT, TOGETHER = "touches alone", "short alone", "only together"

NOTED = {
    "barrier_arm": {("motor", "rib"): CONTACT},
    "clear_bay": {},
    "hard_kinds": {("blade", "wire pin"): CONTACT, ("jib", "stop"): TOGETHER},
    "lock_gate": {("edge post", "near gate"): CONTACT},
    "owl_head": {("brow", "right lid"): CONTACT, ("cable post", "counterweight"): SHORT},
    "petal_lamp": {
        ("petal 2", "petal 3"): CONTACT,
        ("mast", "petal 5"): CONTACT,
        ("lead clip", "motor 4"): CONTACT,
        ("mast", "petal 1"): SHORT,
        ("petal 1", "petal 2"): SHORT,
        ("petal 3", "petal 4"): TOGETHER,
    },
    "signal_lantern": {},
}
"""The breaching pairs of each sample under its rules between drives, as its notes and the README tell them."""

WITHOUT_RULES = {
    "petal_lamp": {
        **NOTED["petal_lamp"],
        ("petal 4", "petal 5"): TOGETHER,
        ("petal 1", "petal 5"): TOGETHER,
    },
    "signal_lantern": {("amber flap", "blue flap"): TOGETHER},
}
"""The same without those rules, of the samples that have some."""


@cache
def answer(name):
    return check_project(read_project(SAMPLES / f"{name}{ENDING}"))


def pairs(checks):
    return {tuple(sorted(check.between)) for check in checks if check.verdict == "breach"}


def kinds(result, together=None):
    """What each breaching pair does: touches under one drive by itself, comes short under one, or only together."""
    together = result.of_sweep("combined") if together is None else together
    alone = result.of_sweep("solo")
    touching = pairs(check for check in alone if any(breach.contacts for breach in check.breaches))
    return {pair: CONTACT if pair in touching else SHORT if pair in pairs(alone) else TOGETHER for pair in pairs(together)}


def test_every_sample_is_noted_here():
    assert set(NAMES) == set(NOTED)


@pytest.mark.parametrize("name", NAMES)
def test_a_sample_is_byte_stable_satisfies_the_schema_and_has_notes(name):
    file = SAMPLES / f"{name}{ENDING}"
    project = read_project(file)
    assert project_to_bytes(project) == file.read_bytes()
    jsonschema.Draft202012Validator(json.loads(SCHEMA_FILE.read_bytes())).validate(json.loads(file.read_bytes()))
    assert project.notes
    assert f"`{file.name}`" in (SAMPLES / "README.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", NAMES)
def test_a_sample_breaches_as_its_notes_tell_and_leaves_nothing_undecided(name):
    result = answer(name)
    assert kinds(result) == NOTED[name]
    assert result.verdict == ("breach" if NOTED[name] else "clear")
    assert not [check for check in result.checks if check.verdict == "undecided" or check.open_share]
    assert {check.proof for check in result.checks} == {"bounded"}


@pytest.mark.parametrize("name", NAMES)
def test_a_sample_with_rules_breaches_without_them_as_its_notes_tell(name):
    result = answer(name)
    assert bool(result.without_rules) == (name in WITHOUT_RULES)
    if name in WITHOUT_RULES:
        assert kinds(result, result.without_rules) == WITHOUT_RULES[name]
        assert not [check for check in result.without_rules if check.verdict == "undecided" or check.open_share]


def test_the_lamp_names_its_three_kinds_of_breach_with_its_rules_and_without():
    for noted in (NOTED["petal_lamp"], WITHOUT_RULES["petal_lamp"]):
        assert set(noted.values()) == {CONTACT, SHORT, TOGETHER}
    told = verdict_sentence(answer("petal_lamp"), read_project(SAMPLES / "petal_lamp.bay.json"), plain)
    assert told.startswith("Breach: ")
    assert told.endswith("Without your 5 rules 2 more pairs breach.")


def test_the_lantern_is_clear_under_its_rules_and_tells_both_answers():
    project = read_project(SAMPLES / "signal_lantern.bay.json")
    told = verdict_sentence(answer("signal_lantern"), project, plain)
    assert told.startswith("Clear: in every position that your 2 rules allow, ")
    assert told.endswith("Without your 2 rules: breach, 1 pair.")
    written = sweep_as_json(answer("signal_lantern"), finding_text=str, unchecked_reason=str)
    assert (written["verdict"], written["verdict_without_rules"]) == ("clear", "breach")
    # Both flaps, 11 in radius, at 38 from pivots 64 apart stand 1 mm apart at this turn of both: closed form.
    meeting = math.degrees(math.asin((32 - 11.5) / 38))
    amber, blue = answer("signal_lantern").safe_box.travels
    assert (amber[1], blue[1]) == (0, 0)
    assert amber[2] + blue[2] <= 2 * meeting
    assert min(amber[2], blue[2]) >= meeting - 0.002


@pytest.mark.parametrize("name", NAMES)
def test_a_sample_has_no_warnings(name):
    assert [finding for finding in answer(name).findings if finding.level != "note"] == []


@pytest.mark.parametrize("name", NAMES)
def test_every_drive_of_a_sample_reaches_its_whole_travel(name):
    drives = {drive.name: (drive.start, drive.end) for drive in read_project(SAMPLES / f"{name}{ENDING}").drives}
    for check in answer(name).checks:
        for drive, low, high in check.reached:
            assert (low, high) == drives[drive]


@pytest.mark.parametrize("name", NAMES)
def test_every_section_of_a_sample_is_well_driven(name):
    """As many freedoms as joints that drives move, and none left over."""
    project = read_project(SAMPLES / f"{name}{ENDING}")
    for section in mobility(project, linkage_of(project)):
        assert section.real == sum(move.section == section.section for drive in project.drives for move in drive.moves)
        assert (section.undriven, section.loose, section.blocked, section.instantaneous) == ((), frozenset(), (), 0)


@pytest.mark.parametrize("name", NAMES)
def test_the_command_line_ends_with_the_code_of_the_verdict(name, capsys):
    assert main(["check", str(SAMPLES / f"{name}{ENDING}"), "--sweep", "solo"]) == (1 if NOTED[name] else 0)
    assert capsys.readouterr().out.startswith("Breach:" if NOTED[name] else "Clear:")


def lowest(name, *pair):
    return min(check.lowest_gap for check in answer(name).of_sweep("combined") if sorted(check.between) == sorted(pair))


def test_the_counterweight_comes_short_by_what_the_notes_tell():
    assert 1 - lowest("owl_head", "cable post", "counterweight") == pytest.approx(0.06, abs=0.005)


def test_the_lock_leaves_close_to_what_the_notes_tell():
    assert lowest("lock_gate", "near gate", "far gate") == pytest.approx(0.4, abs=0.005)


def test_the_rods_of_the_owl_hold_three_things_twice():
    """Two parallelograms with a second rod, and three equal cranks on one rod: 3 (n - 1) - 2 joints, one too many each."""
    project = read_project(SAMPLES / f"owl_head{ENDING}")
    assert [section.redundant for section in mobility(project, linkage_of(project))] == [2, 1]
