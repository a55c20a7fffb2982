import csv
import io
import json
import shutil
import subprocess

import numpy as np
import pytest

from core.errors import UsageError
from core.handover.limits import Origin, limits_of
from core.handover.limits_files import limits_csv, limits_json
from core.handover.limits_header import limits_header
from core.sweep.drive_map import CLEAR, map_of
from core.sweep.run import check_project
from tests.bays import AWAY, bay, body, box, disc, drive, project, slide
from tests.unit.handover.reports import HOSTILE

ORIGIN = Origin("ab" * 32, "Baysweep 1.2.3")
NAMES = ("push", "pull")
PULSES = {"pulse": [[0, 1000], [8, 2000]]}


def sleds(*, names=NAMES, name="Two sleds", gap=10.0, **keys):
    """Two sleds `gap` apart that travel 8 toward each other, 0.5 asked: the sum of both travels must stay under `gap` - 0.5."""
    bodies = [body("bay", disc(0, 50, 1), fixed=True), body("left", box(-5, 0, 10, 4)), body("right", box(gap + 5, 0, 10, 4))]
    joints = [slide("left rail", "bay", "left", at=AWAY), slide("right rail", "bay", "right", along=180.0, at=AWAY)]
    drives = [drive(own, (0, 8), rail, unit="mm", **PULSES) for own, rail in zip(names, ("left rail", "right rail"), strict=True)]
    return project({**bay(bodies, joints, drives, required_gap=0.5, **keys), "name": name})


def limits(found, *, table=True):
    tables = (map_of(found, *(drive.name for drive in found.drives), others="any", leaf=1.0),) if table else ()
    return limits_of(found, check_project(found), origin=ORIGIN, tables=tables)


def compiled(header, tmp_path, main):
    """What a program that includes the header prints; no warning passes."""
    compiler = shutil.which("cc") or shutil.which("gcc")
    assert compiler, "a C compiler is needed to try the header; tests/run says how to get one"
    (tmp_path / "limits.h").write_text(header, encoding="ascii")
    (tmp_path / "main.c").write_text(
        f'#include <stdio.h>\n#include "limits.h"\n#include "limits.h"\nint main(void) {{ {main} return 0; }}\n'
    )
    flags = ["-std=c99", "-Wall", "-Wextra", "-Werror", "-pedantic"]
    subprocess.run([compiler, *flags, "-o", "told", "main.c"], cwd=tmp_path, check=True, capture_output=True, text=True)
    return subprocess.run([tmp_path / "told"], check=True, capture_output=True, text=True).stdout


def test_the_box_keeps_the_sleds_apart_whatever_both_do():
    first, second = limits(sleds()).drives
    assert first.together[1] + second.together[1] <= 9.5
    assert first.together[1] + second.together[1] == pytest.approx(9.5, abs=0.05)


def test_alone_means_with_the_other_anywhere():
    """With the other at 8 a sled may go to 1.5."""
    for found in limits(sleds()).drives:
        assert found.alone[0] == 0
        assert found.alone[1] == pytest.approx(1.5, abs=0.0021)
        assert found.alone[1] <= 1.5


def test_pulses_are_whole_and_inside():
    """125 us to a mm: 1.5 mm is 1187.5 us."""
    for found in limits(sleds()).drives:
        assert found.pulses_alone == (1000, 1187)
        assert found.home_pulse == 1000


def test_a_map_with_the_others_at_home_is_refused():
    found = sleds()
    with pytest.raises(UsageError, match="not safe to hand over"):
        limits_of(found, check_project(found), origin=ORIGIN, tables=[map_of(found, *NAMES, others="home", leaf=1.0)])


def test_where_home_breaches_there_is_nothing_but_the_reason():
    found = limits(sleds(gap=0.2), table=False)
    assert found.why_no_box == "a pair is too close at home already"
    assert all(drive.alone is None and drive.together is None for drive in found.drives)
    told = limits_json(found)
    assert told["together"] == {"travels": None, "why": "a pair is too close at home already"}
    assert "_TOGETHER_FROM" not in limits_header(found)


def test_the_header_compiles_clean_and_tells_the_same_ends(tmp_path):
    found = limits(sleds())
    told = ("TWO_SLEDS_TOGETHER_TO[TWO_SLEDS_PUSH]", "TWO_SLEDS_TOGETHER_TO[1]", "TWO_SLEDS_PULL_ALONE_TO", "TWO_SLEDS_DRIVES")
    main = f'printf("%ld %ld %d %d", {", ".join(told)});'
    first, second, alone, count = compiled(limits_header(found), tmp_path, main).split()
    ends = [found.drives[0].together[1], found.drives[1].together[1], found.drives[1].alone[1]]
    assert [int(end) / 1000 for end in (first, second, alone)] == pytest.approx(ends, abs=1e-3)
    assert all(int(told) <= 1000 * end + 1e-6 for told, end in zip((first, second, alone), ends, strict=True))
    assert count == "2"


def test_the_tables_of_the_header_allow_what_is_proved_clear_and_nothing_else(tmp_path):
    found = limits(sleds())
    main = (
        "for (int r = 0; r < TWO_SLEDS_TABLE_1_ROWS; ++r) for (int c = 0; c < TWO_SLEDS_TABLE_1_COLUMNS; ++c) "
        'printf("%d", TWO_SLEDS_TABLE_1_ALLOWED[r][c]); printf(" %ld", TWO_SLEDS_TABLE_1_ROW_EDGES[TWO_SLEDS_TABLE_1_ROWS]);'
    )
    told, edge = compiled(limits_header(found), tmp_path, main).split()
    (table,) = found.tables
    assert told == "".join("1" if state == CLEAR else "0" for state in table.state.ravel())
    assert {"0", "1"} == set(told)
    assert edge == "8000"


def test_hostile_names_compile_too(tmp_path):
    names = ("int */ main(){} /* ??/ \\", "é √9")
    found = limits(sleds(names=names, name='9 "; #error */'))
    header = limits_header(found)
    assert header.isascii()
    assert compiled(header, tmp_path, 'printf("%d", PROJECT_9_ERROR_DRIVES);') == "2"


def test_names_that_become_one_identifier_stay_two(tmp_path):
    header = limits_header(limits(sleds(names=("push-1", "push 1"))))
    assert compiled(header, tmp_path, 'printf("%d %d", TWO_SLEDS_PUSH_1, TWO_SLEDS_PUSH_1_2);') == "0 1"


def test_every_form_says_that_it_is_no_safety_function():
    found = limits(sleds())
    for text in (" ".join(limits_header(found).split()), limits_csv(found), json.dumps(limits_json(found))):
        assert "not a safety function" in text
        assert "ab" * 32 in text
        assert "competent person" in text


def test_the_table_for_spreadsheets_has_a_row_a_travel_and_a_cell():
    found = limits(sleds(names=("=push", "pull")))
    rows = list(csv.DictReader(io.StringIO(limits_csv(found), newline="")))
    kinds = [row["table"] for row in rows]
    assert kinds.count("together") == kinds.count("alone, others anywhere") == 2
    assert kinds.count("allowed together") == found.tables[0].state.size
    assert {row["drive"] for row in rows} == {"'=push", "pull", ""}


def test_json_tells_travels_and_the_table():
    found = limits(sleds())
    told = json.loads(json.dumps(limits_json(found)))
    assert told["alone"]["push"]["to"] == pytest.approx(1.5, abs=0.0021)
    assert told["together"]["travels"]["pull"]["most_us"] == found.drives[1].pulses_together[1]
    (table,) = told["allowed_together"]
    assert (len(table["edges"]["push"]), len(table["edges"]["pull"])) == (len(table["allowed"][0]) + 1, len(table["allowed"]) + 1)


def test_tables_allow_nothing_that_a_rule_between_their_drives_leaves_out():
    ruled = {"while": {"drive": "push", "from": 1, "to": 8}, "keep": {"drive": "pull", "from": 0, "to": 1}, "reason": HOSTILE}
    found = limits(sleds(allowed_together=[ruled]))
    (table,) = found.tables
    assert {"push", "pull"} == set(table.drives)
    (allowed,) = (np.array(one["allowed"], dtype=bool) for one in limits_json(found)["allowed_together"])
    push, pull = (np.array(table.edges[table.drives.index(name)]) for name in ("push", "pull"))
    beyond = (pull[1:, None] > 1 + 1e-9) & (push[None, 1:] > 1 + 1e-9)
    assert not allowed[beyond if table.drives[0] == "push" else beyond.T].any()
    assert allowed.any()
    told = " ".join(limits_header(found).split())
    assert "0 elsewhere, also where a rule between these two leaves out any of the cell." in told
    assert "Proved with the other drives anywhere in their travel that the rules between drives allow:" in told


def test_rules_between_drives_are_named_where_travels_rest_on_them():
    ruled = {"while": {"drive": "push", "from": 1, "to": 8}, "keep": {"drive": "pull", "from": 0, "to": 1}, "reason": HOSTILE}
    found = limits(sleds(allowed_together=[ruled]))
    assert found.rules == 1
    assert any("rules between drives are kept" in words for words in found.cautions)
    first, second = found.drives
    assert first.together[1] + second.together[1] <= 9.5
