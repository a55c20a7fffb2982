"""The envelope as a drawing, and the sentences where there is none."""

import re
from xml.etree import ElementTree as ET

import pytest
import shapely

from app.command_line import sample_files
from core.handover.envelope import envelope_sheet, envelope_words, not_enclosed_sentence
from core.handover.svg import svg_file
from core.model.joints import Pivot
from core.model.project import Body, Project, Section
from core.model.shapes import Disc
from core.project_file.read import read_project
from core.sweep.envelope import Envelope, NotEnclosed, envelope_of
from tests.unit.handover.sheets import FONTS

SPACE = "{http://www.w3.org/2000/svg}"
ARM = read_project(sample_files()["barrier_arm"])


def covered(**settings):
    found = envelope_of(ARM, ARM.sections[0], ["motor"], **settings)
    assert isinstance(found, Envelope)
    return found


def drawing(found):
    text = svg_file(envelope_sheet(found, ARM, fonts=FONTS), fonts=FONTS, title="t")
    return ET.fromstring(text.encode())  # noqa: S314 - our own output


def named(root, name):
    return list(root.find(f"{SPACE}g[@id='{name}']"))


def points(element):
    return [(float(x), float(y)) for x, y in re.findall(r"[ML](\S+) ([^MLZ]+)", element.get("d"))]


def test_outline_is_drawn_1_to_1_about_the_origin_cross():
    found = covered()
    root = drawing(found)
    outline = shapely.Polygon(points(named(root, "envelope")[1]))
    ((ax, ay), (bx, by), *_) = points(named(root, "origin")[0])
    assert ay == by
    middle = ((ax + bx) / 2, ay)
    low_x, low_y, high_x, high_y = found.region.bounds
    expected = (middle[0] + low_x, middle[1] - high_y, middle[0] + high_x, middle[1] - low_y)
    assert outline.bounds == pytest.approx(expected, abs=2e-4)
    assert outline.area == pytest.approx(found.region.area, rel=1e-5)
    assert root.get("width") == f"{root.get('viewBox').split()[2]}mm"


def test_bound_and_growth_are_told_and_the_bound_is_rounded_up():
    words = " ".join(envelope_words(covered(grow=0.5), ARM))
    assert "swing from -45 to 45 deg" in words
    assert float(re.search(r"at most (\S+) mm larger", words)[1]) >= covered(grow=0.5).bound
    assert "Grown by 0.5 mm" in words


def test_envelope_of_a_body_of_the_bay_is_its_outline():
    found = envelope_of(ARM, ARM.sections[0], ["rib"])
    assert found.region.area == pytest.approx(0.5 * 4 * 6, rel=2e-3)
    assert found.drives == ()
    assert "with every drive at home" in envelope_words(found, ARM)[0]


def test_what_no_drive_moves_is_refused_with_a_sentence():
    bodies = tuple(
        Body(name=name, fixed=name == "bay", depth=(0, 1), shapes=(Disc(centre=(9, 0), radius=2),)) for name in ("bay", "flap", "loose")
    )
    section = Section(name="s", bodies=bodies, joints=(Pivot(name="hinge", between=("bay", "flap"), at=(0, 0)),))
    project = Project(format=1, name="p", required_gap=1, sections=(section,))
    found = envelope_of(project, section, ["flap"])
    assert found == NotEnclosed("flap", "undriven", ("hinge",))
    assert "No drive moves hinge" in not_enclosed_sentence(found, project)
    assert envelope_of(project, section, ["loose"]).cause == "unheld"


def test_too_few_boxes_are_told():
    found = envelope_of(ARM, ARM.sections[0], ["motor"], most_boxes=3)
    assert found == NotEnclosed("motor", "boxes", limit=3)
    assert "Allow a larger bound" in not_enclosed_sentence(found, ARM)


def test_stopping_is_a_result():
    assert envelope_of(ARM, ARM.sections[0], ["motor"], progress=lambda _: False).cause == "stopped"


def test_a_coarser_bound_gives_a_region_that_holds_the_finer_one_nearly():
    coarse, fine = covered(bound=0.5), covered(bound=0.01)
    assert fine.region.difference(coarse.region.buffer(fine.bound)).area == 0
    assert fine.region.area < coarse.region.area
    assert coarse.region.difference(fine.region.buffer(0.52)).area == 0


def test_same_bytes_twice():
    first, second = (svg_file(envelope_sheet(covered(), ARM, fonts=FONTS), fonts=FONTS, title="t") for _ in range(2))
    assert first == second
