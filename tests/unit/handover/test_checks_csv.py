import csv
import io
from pathlib import Path

import pytest

from core.handover.checks_csv import HEAD, checks_csv
from core.project_file.read import read_project
from core.sweep.run import check_project
from tests.bays import bay, body, check, disc, drive, pivot, rule

ARM = Path(__file__).parents[2] / "fixtures" / "barrier_arm.bay.json"


def table_of(result):
    return list(csv.DictReader(io.StringIO(checks_csv(result), newline="")))


def test_one_row_a_pair_and_sweep_and_one_a_pair_not_checked():
    result = check_project(read_project(ARM))
    rows = table_of(result)
    assert len(rows) == len(result.checks) + len(result.unchecked)
    assert {row["verdict"] for row in rows} == {"breach", "clear", "not checked"}
    exempt = {(row["first body"], row["second body"], row["lowest gap mm"]) for row in rows if row["reason"] == "printed in one piece"}
    assert ("rod", "sled", "") in exempt


def test_a_breach_tells_its_ends_and_its_contact():
    """The barrier arm: motor and rib breach from 31.808 to the end of travel and touch from 36.401."""
    (row,) = [row for row in table_of(check_project(read_project(ARM))) if row["verdict"] == "breach" and row["sweep"] == "solo"]
    start, end = (float(value) for value in row["breaches from..to"].split(".."))
    assert (start, end) == (pytest.approx(31.808, abs=2e-3), 45)
    assert float(row["contacts from..to"].split("..")[0]) == pytest.approx(36.401, abs=2e-3)
    assert row["at"].startswith("swing = ")
    assert float(row["lowest gap mm"]) == pytest.approx(-0.16, abs=0.02)


def test_names_that_look_like_formulas_are_words():
    record = bay(
        [body("=1+1", disc(0, 0, 2), fixed=True), body("@arm", disc(10, 0, 2)), body("-9", disc(20, 0, 2), fixed=True)],
        [pivot("pin", "=1+1", "@arm")],
        [drive("+swing", (-10, 10), "pin")],
        gap_rules=[rule("@arm", "-9", unchecked="=2+2")],
    )
    text = checks_csv(check(record))
    cells = [cell for line in csv.reader(io.StringIO(text, newline="")) for cell in line]
    assert {"'=1+1", "'@arm", "'-9", "'=2+2"} <= set(cells)
    assert text.splitlines()[0] == ",".join(HEAD)
    assert not any(cell[:1] in "=+@" for cell in cells if cell)


def test_the_same_project_gives_the_same_bytes():
    assert checks_csv(check_project(read_project(ARM))) == checks_csv(check_project(read_project(ARM)))
