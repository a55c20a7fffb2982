import csv
import io
import math

import pytest

from core.handover.bench_csv import bench_csv
from core.handover.bench_sheet import bench_sheet
from core.project_file.read import read_project
from tests.bays import bar, bay, body, bolted, disc, drive, pivot, project
from tests.unit.test_samples import SAMPLES

CENTRED = [[-45, 1000], [45, 2000]]


def push_pull(*, rod=None, **keys):
    """A horn of 12 on the bay, a lever of 16 about (60, 0), and a rod between their upper ends."""
    bodies = [
        body("bay", disc(-30, 0, 2), fixed=True),
        body("horn", bar((0, 0), (0, 12), 3), trust="typical"),
        body("lever", bar((60, 0), (60, 16), 3), trust="measured", outline_tolerance=0.05),
        rod or body("rod", bar((0, 12), (60, 16), 1), depth=(6, 8)),
    ]
    joints = [
        pivot("shaft", "bay", "horn", (0, 0)),
        pivot("fulcrum", "bay", "lever", (60, 0)),
        pivot("near", "horn", "rod", (0, 12), play=0.15),
        pivot("far", "rod", "lever", (60, 16)),
    ]
    return project(bay(bodies, joints, [drive("servo", (-40, 40), "shaft", **keys)]))


def test_a_rod_is_as_long_as_its_pins_are_apart():
    (rod,) = bench_sheet(push_pull()).rods
    assert (rod.body, rod.joints, rod.to) == ("rod", ("near", "far"), ("horn", "lever"))
    assert rod.length == pytest.approx(math.hypot(60, 4))
    assert rod.offset == 0
    assert rod.ends == ("pin in a hole, 0.15 mm of play", "pin in a hole")


def test_a_rod_with_ends_in_two_depths_is_longer_than_it_looks():
    """Ends in 6..8 and 11..13: 5 mm apart."""
    bent = body("rod", bar((0, 12), (30, 14), 1), bar((30, 14), (60, 16), 1, depth=[11, 13]), depth=(6, 8))
    (rod,) = bench_sheet(push_pull(rod=bent)).rods
    assert rod.offset == pytest.approx(5)
    assert rod.length == pytest.approx(math.sqrt(60**2 + 4**2 + 5**2))


def test_a_horn_is_set_where_the_centre_pulse_moves_it():
    """1500 us is 10 degrees from the drawn pose: the hole drawn at 90 degrees stands at 100."""
    (horn,) = bench_sheet(push_pull(pulse=[[-35, 1000], [55, 2000]])).horns
    assert (horn.body, horn.on, horn.at_centre) == ("horn", "bay", True)
    assert (horn.value, horn.turn) == (pytest.approx(10), pytest.approx(10))
    (hole,) = horn.holes
    assert (hole.joint, hole.distance, hole.angle) == ("near", pytest.approx(12), pytest.approx(100))


def test_without_pulses_a_horn_is_set_at_home_and_says_so():
    (horn,) = bench_sheet(push_pull(home=-20, drawn=0)).horns
    assert (horn.at_centre, horn.value, horn.turn) == (False, -20, -20)
    assert all(spline.pulse is None for spline in horn.splines)


def test_spline_steps_are_the_trades():
    """21, 23, 24 and 25 teeth: one step is 17.143, 15.652, 15 and 14.4 degrees. Common practice, no source."""
    (horn,) = bench_sheet(push_pull(pulse=CENTRED)).horns
    assert [spline.step for spline in horn.splines] == pytest.approx([17.143, 15.652, 15, 14.4], abs=5e-4)
    assert [spline.trim for spline in horn.splines] == pytest.approx([8.5714, 7.8261, 7.5, 7.2], abs=5e-5)
    assert horn.splines[2].pulse == pytest.approx(7.5 * 1000 / 90)


def test_channels_tell_pulses_at_home_and_at_the_ends_of_travel():
    (channel,) = bench_sheet(push_pull(pulse=CENTRED)).channels
    assert (channel.number, channel.home_pulse) == (1, pytest.approx(1500))
    assert channel.travel_pulses == pytest.approx((1500 - 40 * 1000 / 90, 1500 + 40 * 1000 / 90))


def test_where_sizes_come_from_is_told_of_every_body():
    told = {source.body: (source.trust, source.outline_tolerance) for source in bench_sheet(push_pull()).sources}
    assert told == {"bay": (None, 0), "horn": ("typical", 0), "lever": ("measured", 0.05), "rod": (None, 0)}


def test_a_bolted_bar_and_a_driven_arm_are_no_rods():
    bodies = [body("bay", disc(0, 0, 2), fixed=True), body("arm", bar((0, 0), (20, 0), 2)), body("tip", bar((20, 0), (30, 0), 2))]
    record = bay(bodies, [pivot("pin", "bay", "arm"), bolted("screw", "arm", "tip")], [drive("swing", (-10, 10), "pin")])
    assert bench_sheet(project(record)).rods == ()


def test_the_owls_push_pull_rods_are_listed():
    sheet = bench_sheet(read_project(SAMPLES / "owl_head.bay.json"))
    assert len(sheet.rods) >= 2
    assert all(rod.length >= rod.in_section > 0 for rod in sheet.rods)


def test_the_table_has_a_row_an_item():
    sheet = bench_sheet(push_pull(pulse=CENTRED))
    rows = list(csv.DictReader(io.StringIO(bench_csv(sheet), newline="")))
    assert [row["list"] for row in rows] == ["rod", "horn as set", "horn hole", *["horn spline"] * 4, "channel", *["sizes"] * 4]
    assert float(rows[0]["length mm"]) == pytest.approx(math.hypot(60, 4), abs=1e-6)
    assert rows[-1] | {"item": "rod", "sizes": "not said"} == rows[-1]
