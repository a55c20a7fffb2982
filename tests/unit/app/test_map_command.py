"""`baysweep map`: the page, JSON, CSV and exit codes."""

import csv
import json
from pathlib import Path

import pytest

from app.command_line import main

SAMPLES = Path(__file__).parents[3] / "sample_projects"
LAMP = str(SAMPLES / "petal_lamp.bay.json")


def test_the_page_draws_the_map_and_names_the_pair(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["map", LAMP, "--drives", "fold 2", "twist 2", "--leaf", "4"]) == 1
    shown = capsys.readouterr().out
    assert "#" in shown
    assert "petal 2 and petal 3" in " ".join(shown.split())
    assert "Upward: twist 2 from -9 deg to 9 deg." in " ".join(shown.split())


def test_json_holds_every_cell_once(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["map", LAMP, "--drives", "twist 1", "twist 2", "--leaf", "4", "--json"]) in (0, 1)
    answer = json.loads(capsys.readouterr().out)
    across, up = (answer["edges"][name] for name in answer["drives"])
    assert len(answer["cells"]) == len(up) - 1
    assert {len(row) for row in answer["cells"]} == {len(across) - 1}
    assert {state for row in answer["cells"] for state in row} <= set(range(len(answer["states"])))
    assert answer["states"] == ["clear", "ruled out", "undecided", "breach"]


def test_a_table_for_spreadsheets(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "map.csv"
    assert main(["map", LAMP, "--drives", "fold 2", "twist 2", "--leaf", "8", "-o", str(target)]) == 1
    rows = list(csv.reader(target.read_text(encoding="utf-8").splitlines()))
    assert rows[0] == ["fold 2 from", "fold 2 to", "twist 2 from", "twist 2 to", "state", "first", "second"]
    assert {row[4] for row in rows[1:]} <= {"clear", "undecided", "breach"}
    assert ["petal 2", "petal 3"] in [row[5:] for row in rows[1:]]
    assert capsys.readouterr().out == ""


def test_what_rules_leave_out_is_told_and_not_called_clear(capsys: pytest.CaptureFixture[str]) -> None:
    # without its rules the two flaps of the lantern overlap by 21 mm where both are far out
    assert main(["map", str(SAMPLES / "signal_lantern.bay.json"), "--drives", "amber", "blue", "--leaf", "4"]) == 0
    shown = capsys.readouterr().out
    lines = [line for line in shown.splitlines() if line and not line.strip(".-")]
    assert (lines[0][-1], lines[-1][0], lines[-1][-1]) == ("-", ".", ".")
    told = " ".join(shown.split())
    assert told.startswith("Clear: nothing comes too close for any values of amber and blue that your 2 rules allow, with")
    assert "- some of it or all is left out by your rules between drives: this answer says nothing about that." in told


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--drives", "fold 2", "twist 99"], "is not one of the drives"),
        (["--drives", "fold 2", "fold 2"], "two different drives"),
        (["--drives", "fold 2", "twist 2", "-o", "map.txt"], "does not end in .csv"),
        (["--drives", "fold 2", "twist 2", "--leaf", "0"], "leaf"),
    ],
)
def test_questions_that_do_not_fit_are_refused_in_one_sentence(words: list[str], told: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["map", LAMP, *words]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert told in shown.err


def test_two_workers_make_the_same_map(capsys):
    words = ["map", LAMP, "--drives", "fold 2", "twist 2", "--leaf", "0.5", "--json"]
    codes = [main(words), main([*words, "--workers", "2"])]
    alone, beside = (json.loads(line) for line in capsys.readouterr().out.splitlines())
    assert codes == [1, 1]
    assert alone == beside
