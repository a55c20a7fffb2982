"""Pictures measured in pixels."""

import io

import numpy as np
import pytest
from PIL import Image

from core.drawing.display_list import Fill, Stroke
from core.drawing.path import circle, polyline
from core.drawing.sheet import Sheet, rectangle
from core.handover.paper import PAPER
from core.handover.png import png_file
from tests.unit.handover.sheets import FONTS, HOSTILE, named, ruled


def grey(sheet, **settings):
    return np.asarray(Image.open(io.BytesIO(png_file(sheet, fonts=FONTS, title="t", **settings))).convert("L"), dtype=float)


def test_a_rule_of_100_mm_is_1000_pixels_at_10_to_the_mm():
    sheet = Sheet(140, 40, (Stroke((polyline((20, 20), (120, 20)),), "wide"),))
    dark = np.flatnonzero((grey(sheet, pixels_per_mm=10.0) < 128).any(axis=0))
    # Round ends add half a width of 0.375 mm to each end.
    assert dark[-1] - dark[0] + 1 == pytest.approx(1000 + 3.75, abs=1)


def test_the_size_in_the_file_prints_true():
    picture = Image.open(io.BytesIO(png_file(ruled(), fonts=FONTS, title="t", pixels_per_mm=10.0)))
    assert picture.size == (1400, 900)
    assert picture.info["dpi"] == pytest.approx((254, 254), abs=0.01)


@pytest.mark.parametrize("centre", [(20.0, 20.0), (20.0, 32.1)])
def test_a_ring_covers_its_area_across_strips(centre):
    ring = (circle(centre, 12.0), circle(centre, 6.0, hole=True))
    picture = grey(Sheet(40, 64, (Fill((ring,), "ink"),)), pixels_per_mm=8.0)
    ink = float(np.asarray(Image.new("RGB", (1, 1), PAPER.colour("ink")).convert("L"))[0, 0])
    covered = ((255 - picture) / (255 - ink)).sum() / 64
    assert covered == pytest.approx(np.pi * (144 - 36), rel=3e-3)


def test_a_hole_of_one_outline_does_not_cut_another():
    ring = (circle((20.0, 20.0), 12.0), circle((20.0, 20.0), 6.0, hole=True))
    picture = grey(Sheet(40, 40, (Fill(((circle((20.0, 20.0), 3.0),), ring), "ink"),)), pixels_per_mm=4.0)
    assert picture[80, 80] < 40
    assert picture[80, 98] > 250


def test_dashes_leave_gaps_of_their_width():
    sheet = Sheet(40, 10, (Stroke((polyline((5, 5), (35, 5)),), "dashed"),))
    row = grey(sheet, pixels_per_mm=40.0)[200]
    dark = float((row < 128).mean()) * 40.0
    assert dark == pytest.approx(30.0 * 6 / 9, abs=0.5)


def test_a_clip_hides_what_lies_outside():
    picture = grey(ruled(), pixels_per_mm=4.0)
    assert picture[4 * (90 - 55), 4 * 100] < 200
    assert picture[4 * (90 - 45), 4 * 82] > 250


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_leave_ink(name):
    assert (grey(named(name), pixels_per_mm=4.0) < 128).sum() > 20


def test_same_bytes_twice():
    assert png_file(ruled(), fonts=FONTS, title="t") == png_file(ruled(), fonts=FONTS, title="t")


def test_lines_beyond_the_sheet_do_no_harm():
    sheet = Sheet(20, 20, (Stroke((polyline((-50, 10), (70, 10)),), "centre"), Fill((rectangle((-10, -10, 30, 5)),), "ink")))
    assert (grey(sheet, pixels_per_mm=4.0)[70] < 60).all()
