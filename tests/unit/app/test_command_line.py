"""The commands as a shell meets them: exit codes, what goes to stdout and what to stderr."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from app.command_line import BAD_INPUT, drive_values, main, sample_files
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
