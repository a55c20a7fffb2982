"""The commands that write what was proved, as a shell meets them."""

import hashlib
import io
import json
import shutil
import xml.etree.ElementTree as ET

import pypdf
import pytest

from app.command_line import main
from tests.unit.app.test_command_line import ARM, run
from tests.unit.test_samples import SAMPLES

CLEAR = SAMPLES / "clear_bay.bay.json"


@pytest.mark.parametrize("ending", [".html", ".pdf", ".csv"])
def test_a_report_is_written_and_the_code_is_its_verdicts(capsys, tmp_path, ending):
    target = tmp_path / f"arm{ending}"
    code, out, _ = run(capsys, "report", ARM, "-o", target)
    assert (code, out) == (1, "")
    data = target.read_bytes()
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(data)).pages] if ending == ".pdf" else [data.decode()]
    words = " ".join(pages)
    assert "motor" in words
    assert "rib" in words


def test_a_report_names_the_file_by_its_digest_and_gives_the_same_bytes_twice(capsys, tmp_path):
    one, other = tmp_path / "one.html", tmp_path / "other.html"
    for target in (one, other):
        assert run(capsys, "report", ARM, "-o", target, "--date", "2026-01-31")[0] == 1
    assert one.read_bytes() == other.read_bytes()
    assert hashlib.sha256(ARM.read_bytes()).hexdigest() in one.read_text()
    assert "2026-01-31" in one.read_text()


def test_without_a_date_the_day_of_the_files_last_change_is_told(capsys, tmp_path):
    import os

    copy = shutil.copy(ARM, tmp_path / "arm.bay.json")
    os.utime(copy, (1_700_000_000, 1_700_000_000))
    target = tmp_path / "arm.html"
    run(capsys, "report", copy, "-o", target)
    assert "2023-11-14" in target.read_text()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["report", ARM, "-o", "arm.doc"], "does not end in .html or .pdf or .csv"),
        (["report", ARM, "-o", "arm.pdf", "--date", "31.1.2026"], "is not a date"),
        (["report", ARM, "-o", "/nowhere/arm.pdf"], "was not written"),
        (["limits", ARM, "-o", "arm.txt"], "does not end in .csv or .json or .h"),
        (["limits", ARM, "-o", "arm.h", "--table", "swing", "swing"], "given twice"),
        (["limits", ARM, "-o", "arm.h", "--table", "swing", "nod"], "is not one of the drives"),
        (["bench", ARM, "-o", "arm.pdf"], "does not end in .csv"),
    ],
)
def test_what_cannot_be_written_ends_with_2_and_a_sentence(capsys, words, told):
    code, out, err = run(capsys, *words)
    assert (code, out) == (2, "")
    assert told in err


def test_limits_of_the_arm_end_before_its_breach(capsys, tmp_path):
    """Motor and rib come too close from 31.808 degrees on."""
    target = tmp_path / "arm.json"
    assert run(capsys, "limits", ARM, "-o", target)[0] == 0
    told = json.loads(target.read_text())
    for travel in (told["alone"]["swing"], told["together"]["travels"]["swing"]):
        assert travel["from"] == -45
        assert travel["to"] == pytest.approx(31.808, abs=0.01)
        assert travel["to"] <= 31.808
    assert told["sha256"] == hashlib.sha256(ARM.read_bytes()).hexdigest()


@pytest.mark.parametrize("ending", [".csv", ".h"])
def test_limits_of_a_clear_bay_are_its_travels(capsys, tmp_path, ending):
    target = tmp_path / f"stage{ending}"
    assert run(capsys, "limits", CLEAR, "-o", target)[0] == 0
    assert "not a safety function" in " ".join(target.read_text().split())


def test_the_bench_sheet_lists_horns_and_channels(capsys, tmp_path):
    target = tmp_path / "arm.csv"
    assert run(capsys, "bench", ARM, "-o", target)[0] == 0
    told = target.read_text()
    assert "channel" in told
    assert "horn as set" in told


def test_figures_of_a_report_are_svg_that_parses(capsys, tmp_path):
    target = tmp_path / "arm.html"
    assert main(["report", str(ARM), "-o", str(target)]) == 1
    capsys.readouterr()
    page = target.read_text()
    figures = page.split("<svg")[1:]
    assert len(figures) >= 2
    for figure in figures:
        ET.fromstring("<svg" + figure.split("</svg>")[0] + "</svg>")  # noqa: S314 - our own words
