"""`picture`, `template` and `envelope` as they are typed."""

import io
from xml.etree import ElementTree as ET

import pytest
from PIL import Image
from pypdf import PdfReader

from app.command_line import main, sample_files

ARM = str(sample_files()["barrier_arm"])
OWL = str(sample_files()["owl_head"])


def test_picture_as_svg_and_png(tmp_path):
    assert main(["picture", ARM, "--section", "Side", "--at", "swing=38", "-o", str(tmp_path / "a.svg")]) == 0
    assert "Swing at 38 deg." in (tmp_path / "a.svg").read_text(encoding="utf-8")
    assert main(["picture", ARM, "-o", str(tmp_path / "a.png")]) == 0
    root = ET.fromstring((tmp_path / "a.svg").read_bytes())  # noqa: S314 - our own output
    width, height = Image.open(io.BytesIO((tmp_path / "a.png").read_bytes())).size
    assert (width, height) == (8 * float(root.get("width").removesuffix("mm")), 8 * float(root.get("height").removesuffix("mm")))


def test_template_is_pdf(tmp_path):
    assert main(["template", OWL, "--section", "Top", "-o", str(tmp_path / "t.pdf")]) == 0
    pages = PdfReader(tmp_path / "t.pdf").pages
    assert "100 mm" in pages[0].extract_text()
    assert "pins as drawn" in pages[-1].extract_text()


def test_envelope_says_what_it_is(tmp_path, capsys):
    assert (
        main(["envelope", ARM, "--body", "motor", "--body", "rod", "--grow", "0.5", "--bound", "0.2", "-o", str(tmp_path / "e.svg")]) == 0
    )
    told = capsys.readouterr().err
    assert told.startswith("Covered by motor and rod while this runs: swing from -45 to 45 deg.")
    assert ET.fromstring((tmp_path / "e.svg").read_bytes()).find("{http://www.w3.org/2000/svg}desc").text == told.strip()  # noqa: S314


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["picture", OWL, "-o", "x.svg"], "Name the section: Front, Top."),
        (["picture", ARM, "--section", "Back", "-o", "x.svg"], "`Back` is not one of the sections: Side."),
        (["picture", ARM, "-o", "x.jpg"], "does not end in .svg or .png"),
        (["template", ARM, "-o", "x.svg"], "does not end in .pdf"),
        (["envelope", ARM, "--body", "sail", "-o", "x.svg"], "`sail` is not one of the bodies"),
        (["envelope", ARM, "--body", "rod", "--drive", "wind", "-o", "x.svg"], "`wind` is not one of the drives: swing."),
    ],
)
def test_what_does_not_fit_is_refused_and_nothing_is_written(words, said, capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert main(words) == 2
    assert said in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_is_not_there_is_told(tmp_path, capsys):
    assert main(["picture", ARM, "-o", str(tmp_path / "no" / "x.svg")]) == 2
    assert "Choose a folder that you may write to." in capsys.readouterr().err
