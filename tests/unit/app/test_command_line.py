"""The commands as a shell meets them: exit codes, what goes to stdout and what to stderr."""

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from shapely import LineString, Polygon, affinity, box

from app.command_line import BAD_INPUT, _first_interrupt_asks, drive_values, main, sample_files
from core.errors import UsageError
from core.project_file.read import read_project

ARM = Path(__file__).parents[2] / "fixtures" / "barrier_arm.bay.json"


def run(capsys, *words):
    code = main([str(word) for word in words])
    out, err = capsys.readouterr()
    return code, out, err


def baysweep(*words, **settings):
    """The program as a process of its own, without any display."""
    environment = {key: value for key, value in os.environ.items() if key not in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")}
    command = [sys.executable, "-m", "app", *map(str, words)]
    return subprocess.run(
        command, capture_output=True, text=True, timeout=120, check=False, cwd=ARM.parents[2], env=environment, **settings
    )


def test_help_lists_the_commands(capsys):
    code, out, _ = run(capsys, "--help")
    assert code == 0
    for command in ("check", "pose", "mobility", "samples"):
        assert command in out


@pytest.mark.parametrize(
    "words", [["nonsense"], ["check"], ["check", ARM, "--sweep", "both"], ["check", ARM, "--resolution", "0"], ["--wrong"]]
)
def test_bad_usage_ends_with_2_and_says_why_on_stderr(capsys, words):
    code, out, err = run(capsys, *words)
    assert code == BAD_INPUT
    assert out == ""
    assert "Error" in err


@pytest.mark.parametrize("command", ["check", "pose", "mobility", "open"])
def test_a_file_that_is_not_there_ends_with_2(capsys, tmp_path, command):
    code, out, err = run(capsys, command, tmp_path / "lamp.bay.json")
    assert (code, out) == (BAD_INPUT, "")
    assert err.startswith("lamp.bay.json was not opened:")


def test_a_folder_given_for_a_file_ends_with_2(capsys, tmp_path):
    code, out, err = run(capsys, "check", tmp_path)
    assert (code, out) == (BAD_INPUT, "")
    assert "was not opened" in err


def test_a_file_that_is_no_project_ends_with_2_and_stays_as_it_is(capsys, tmp_path):
    wrong = tmp_path / "wrong.bay.json"
    wrong.write_text('{"baysweep": 1, "name": ')
    code, out, err = run(capsys, "check", wrong)
    assert (code, out) == (BAD_INPUT, "")
    assert "is not JSON" in err
    assert wrong.read_text() == '{"baysweep": 1, "name": '


def test_a_first_word_that_is_a_file_opens_it_and_says_where_a_display_is_missing():
    opened = baysweep(ARM)
    assert opened.returncode == BAD_INPUT
    assert "no display" in opened.stderr
    assert f"baysweep check {ARM}" in opened.stderr


def test_baysweep_alone_lists_the_samples_where_there_is_no_display():
    alone = baysweep()
    assert alone.returncode == 0
    for name in sample_files():
        assert name in alone.stdout


def test_samples_are_listed_with_what_they_show(capsys):
    code, out, _ = run(capsys, "samples")
    assert code == 0
    assert sample_files()
    for name, path in sample_files().items():
        assert name in out
        assert read_project(path).notes


def test_a_sample_is_copied_once_and_never_over_a_file(capsys, tmp_path):
    name, source = next(iter(sample_files().items()))
    folder = tmp_path / "new"
    code, out, _ = run(capsys, "samples", name, folder)
    copy = folder / source.name
    assert (code, out.strip()) == (0, str(copy))
    assert copy.read_bytes() == source.read_bytes()
    copy.write_text("mine")
    code, _, err = run(capsys, "samples", name, folder)
    assert code == BAD_INPUT
    assert "left as it is" in err
    assert copy.read_text() == "mine"


def test_an_unknown_sample_is_refused_with_the_names_there_are(capsys):
    code, _, err = run(capsys, "samples", "nothing")
    assert code == BAD_INPUT
    assert next(iter(sample_files())) in err


def test_drives_that_are_not_given_stand_at_home():
    project = read_project(ARM)
    assert drive_values(project, []) == {"swing": 0.0}
    assert drive_values(project, ["swing=-12.5"]) == {"swing": -12.5}


@pytest.mark.parametrize(
    ("given", "told"),
    [
        (["swing"], "is not DRIVE=VALUE"),
        (["sway=3"], "one of the drives: swing"),
        (["swing=three"], "is not a number"),
        (["swing=nan"], "it reaches from -45 to 45 deg"),
        (["swing=45.1"], "it reaches from -45 to 45 deg"),
        (["swing=1", "swing=2"], "more than once"),
    ],
)
def test_drive_values_that_do_not_fit_are_refused(given, told):
    with pytest.raises(UsageError, match=told):
        drive_values(read_project(ARM), given)


def shapely_gap(turn):
    """The motor's case of the barrier arm, turned by `turn` degrees about the hub pin, to the rib, by shapely on full outlines."""
    case = box(8 - 11.5 + 1, -6 + 1, 8 + 11.5 - 1, 6 - 1)
    rib = Polygon([(12, 16), (16, 16), (14, 22)])
    return affinity.rotate(case, turn, origin=(0, 0)).distance(rib) - 1


def test_check_answers_a_breach_as_json_with_the_ends_that_shapely_finds_too(capsys):
    code, out, err = run(capsys, "check", ARM, "--json")
    assert (code, err) == (1, "")
    answer = json.loads(out)
    assert (answer["verdict"], answer["covers"]) == ("breach", "all")
    (check,) = [check for check in answer["checks"] if check["sweep"] == "solo" and check["between"] == ["motor", "rib"]]
    (breach,) = check["breaches"]
    assert shapely_gap(breach["from"]) == pytest.approx(1.0, abs=1e-3)
    assert shapely_gap(breach["contact"][0]) == pytest.approx(0.0, abs=1e-3)
    assert shapely_gap(breach["from"] - 0.01) > 1.0
    assert breach["to"] == 45.0
    assert check["drives"] == ["swing"]


def test_the_same_input_gives_the_same_answer_but_for_the_seconds(capsys):
    answers = [json.loads(run(capsys, "check", ARM, "--json")[1]) for _ in range(2)]
    for answer in answers:
        assert answer["work"].pop("seconds") >= 0
    assert answers[0] == answers[1]


def test_check_prints_the_verdict_first_then_pairs_what_is_left_out_and_the_caution(capsys):
    code, out, err = run(capsys, "check", ARM)
    assert (code, err) == (1, "")
    assert out.startswith("Breach: motor meets rib while swing is between 36.4 and 40.3 deg")
    places = [
        out.index(words) for words in ("first contact", "too close", "printed in one piece", "Checked", "Proved for", "safety device")
    ]
    assert places == sorted(places)
    *page, window = out.splitlines()
    assert max(map(len, page)) <= 80
    # A command to copy stands whole on its line, however long the path of this checkout is.
    assert window == f"See it in the window: baysweep {ARM}"
    assert not any(line != line.rstrip() for line in out.splitlines())
    assert "\x1b" not in out


def test_sweep_says_what_it_covers(capsys):
    for sweep in ("solo", "combined"):
        answer = json.loads(run(capsys, "check", ARM, "--json", "--sweep", sweep)[1])
        assert answer["covers"] == sweep
        assert {check["sweep"] for check in answer["checks"]} == {sweep}


CLEAR_BAY = """{"baysweep": 1, "name": "One arm", "required_gap": REQUIRED, "sections": [{"name": "Side", "bodies": [
 {"name": "wall", "fixed": true, "depth": [0, 9], "shapes": [{"kind": "box", "centre": [0, 50], "size": [200, 10]}]},
 {"name": "bracket", "fixed": true, "depth": [20, 29], "shapes": [{"kind": "disc", "centre": [0, 0], "radius": 4}]},
 {"name": "arm", "fixed": false, "depth": [0, 9], "shapes": [{"kind": "bar", "from": [0, 0], "to": [30, 0], "radius": 2}]}],
 "joints": [{"kind": "pivot", "name": "pin", "between": ["bracket", "arm"], "at": [0, 0]}]}],
 "drives": [{"name": "swing", "unit": "deg", "from": 0, "to": 90, "home": 0, "speed": 300,
  "moves": [{"section": "Side", "joint": "pin"}]}]}"""


def clear_bay(folder, required):
    """An arm of length 30, round end of radius 2, that comes up to a wall at y = 45: 13 mm are left at 90 deg."""
    file = folder / "one_arm.bay.json"
    file.write_text(CLEAR_BAY.replace("REQUIRED", str(required)))
    return file


def test_exit_codes_tell_clear_breach_and_undecided(capsys, tmp_path):
    code, out, _ = run(capsys, "check", clear_bay(tmp_path, 13))
    assert code == 0
    told = " ".join(out.split())
    assert told.startswith("Clear: in every position swing can reach, no checked pair comes closer than 13.00 mm. You asked for 13.00 mm.")
    code, out, _ = run(capsys, "check", clear_bay(tmp_path, 13.01))
    assert code == 1
    assert "Breach: wall clears arm by only 13.00 mm at swing = 90 deg. That is 0.01 mm short of what you asked." in " ".join(out.split())
    code, out, _ = run(capsys, "check", clear_bay(tmp_path, 12.999), "--boxes", 1, "--sweep", "combined")
    assert code == 3
    assert out.startswith("Not decided: 1 pair. The boxes allowed ran out;")


def test_a_budget_that_ran_out_is_said(capsys, tmp_path):
    code, out, _ = run(capsys, "check", clear_bay(tmp_path, 12.999), "--budget", "1e-9")
    assert code in (0, 3)
    assert "Stopped before the end." in " ".join(out.split())


def test_pose_tells_turns_and_gaps_as_shapely_finds_them(capsys):
    code, out, _ = run(capsys, "pose", ARM, "--at", "swing=30", "--json")
    assert code == 0
    answer = json.loads(out)
    assert answer["at"] == {"swing": 30.0}
    (motor,) = [body for body in answer["bodies"] if body["body"] == "motor"]
    assert (motor["turn"], motor["shift"]) == (30.0, [0.0, 0.0])
    (gap,) = [gap for gap in answer["gaps"] if gap["between"] == ["motor", "rib"]]
    assert gap["gap"] == pytest.approx(shapely_gap(30), abs=1e-6)
    assert LineString(gap["points"]).length == pytest.approx(gap["gap"], abs=1e-6)
    (loop,) = answer["loops"]
    assert set(loop["joints"]) == {"hub pin", "rail", "yoke slot"}


def test_pose_as_a_page_lists_bodies_and_gaps_with_the_tightest_first(capsys):
    code, out, _ = run(capsys, "pose", ARM, "--at", "swing=30")
    assert code == 0
    assert out.startswith("With swing at 30 deg:")
    lines = out.splitlines()
    assert lines[next(place for place, line in enumerate(lines) if line.startswith("pair")) + 1].startswith("motor and rib")


def test_pose_outside_travel_ends_with_2(capsys):
    code, out, err = run(capsys, "pose", ARM, "--at", "swing=46")
    assert (code, out) == (BAD_INPUT, "")
    assert "it reaches from -45 to 45 deg" in err


def test_mobility_agrees_with_counting_by_hand(capsys):
    """Three groups (bay, motor with rod, sled), a pivot, a slide and a pin in a slot: 3 x 2 - 2 x 2 - 1 = 1."""
    (section,) = json.loads(run(capsys, "mobility", ARM, "--json")[1])["sections"]
    assert (section["section"], section["count"], section["real"], section["redundant"]) == ("Side", 1, 1, 0)
    code, out, _ = run(capsys, "mobility", ARM)
    assert code == 0
    assert "Side" in out


@pytest.mark.parametrize("words", [["check", ARM], ["check", ARM, "--json"], ["samples"], ["--help"]])
def test_a_reader_that_has_left_is_no_fault_worth_a_traceback(words):
    reader, writer = os.pipe()
    os.close(reader)
    command = [sys.executable, "-m", "app", *map(str, words)]
    left = subprocess.run(command, stdout=writer, stderr=subprocess.PIPE, text=True, timeout=120, check=False, cwd=ARM.parents[2])
    os.close(writer)
    assert (left.returncode, left.stderr) == (141, "")


def test_the_command_line_loads_neither_qt_nor_a_display_nor_what_takes_long_and_serves_nothing():
    code = (
        "import sys; from app.command_line import main; main(sys.argv[1:]); "
        "print(sorted({'PySide6', 'shiboken6', 'pyqtgraph', 'scipy', 'reportlab', 'PIL', 'numpy.ma'} & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, "check", str(ARM)], capture_output=True, text=True, timeout=120, check=True, cwd=ARM.parents[2]
    )
    assert done.stdout.splitlines()[-1] == "[]"


@pytest.fixture
def interruptible():
    """A shell that starts the tests in the background has them ignore the signal; this one test needs it."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.mark.usefixtures("interruptible")
def test_the_first_interrupt_asks_and_the_second_interrupts():
    with _first_interrupt_asks() as asked:
        assert not asked
        os.kill(os.getpid(), signal.SIGINT)
        assert asked == [signal.SIGINT]
        with pytest.raises(KeyboardInterrupt):
            os.kill(os.getpid(), signal.SIGINT)
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


TWO_BLADES = """{"baysweep": 1, "name": "Two blades", "required_gap": 1.0, "sections": [{"name": "Top", "bodies": [
 {"name": "bay", "fixed": true, "depth": [20, 30], "shapes": [{"kind": "box", "centre": [25, 0], "size": [60, 10]}]},
 {"name": "left blade", "fixed": false, "depth": [4, 6], "shapes": [{"kind": "bar", "from": [0, 0], "to": [30, 0], "radius": 2}]},
 {"name": "right blade", "fixed": false, "depth": [4, 6], "shapes": [{"kind": "bar", "from": [50, 0], "to": [16.5, 30], "radius": 2}]}],
 "joints": [{"kind": "pivot", "name": "left pin", "between": ["bay", "left blade"], "at": [0, 0]},
 {"kind": "pivot", "name": "right pin", "between": ["bay", "right blade"], "at": [50, 0]}]}],
 "drives": [{"name": "left", "unit": "deg", "from": 0, "to": 40, "home": 0, "speed": 300,
  "moves": [{"section": "Top", "joint": "left pin"}]},
 {"name": "right", "unit": "deg", "from": -60, "to": 25, "home": -60, "drawn": 0, "speed": 300,
  "moves": [{"section": "Top", "joint": "right pin"}]}]}"""


def blades_gap(left, right):
    """The gap of the two blades by shapely."""
    one = affinity.rotate(LineString([(0, 0), (30, 0)]), left, origin=(0, 0))
    two = affinity.rotate(LineString([(50, 0), (16.5, 30)]), right, origin=(50, 0))
    return one.distance(two) - 4


def test_blades_that_meet_only_together_are_told_so_with_an_example_that_shapely_finds_too(capsys, tmp_path):
    file = tmp_path / "two_blades.bay.json"
    file.write_text(TWO_BLADES)
    assert min(blades_gap(0, right / 10) for right in range(-600, 251)) > 1
    assert min(blades_gap(left / 10, -60) for left in range(401)) > 1
    code, out, _ = run(capsys, "check", file, "--json")
    answer = json.loads(out)
    (together,) = [check for check in answer["checks"] if check["sweep"] == "combined"]
    assert code == 1
    assert blades_gap(**together["at"]) <= -4 + 1e-6  # the centre lines cross
    assert [finding["code"] for finding in answer["findings"]] == ["solo-unseen"]
    page = " ".join(run(capsys, "check", file)[1].split())
    assert page.startswith("Breach: left blade meets right blade only when drives move together, for example left at")
    assert "only together" in page


def test_a_breach_that_was_not_proved_clear_alone_is_not_called_unseen_alone(capsys, tmp_path):
    """A budget that ends in the first sweep leaves the single drives undecided."""
    file = tmp_path / "two_blades.bay.json"
    file.write_text(TWO_BLADES)
    answer = json.loads(run(capsys, "check", file, "--budget", "1e-9", "--json")[1])
    assert answer["stopped"] is True
    assert "undecided" in [check["verdict"] for check in answer["checks"] if check["sweep"] == "solo"]
    assert answer["findings"] == []


def test_the_page_is_that_of_one_whole_answer_though_its_first_part_comes_sooner(capsys):
    from io import StringIO

    from app.answer_page import print_answer
    from core.sweep.run import check_project

    whole = StringIO()
    project = read_project(ARM)
    print_answer(check_project(project), project, everything=False, to=whole)
    _, out, _ = run(capsys, "check", ARM)
    told, asked = (text[: text.index("Checked ")].splitlines() for text in (out, whole.getvalue()))
    assert any(line.startswith("Safe together") for line in told)
    # Only the line with the work done differs.
    assert told == asked
