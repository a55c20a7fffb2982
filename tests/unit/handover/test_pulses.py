import pytest

from core.handover.pulses import pulse_at, pulses_within, value_at
from core.model.project import Drive


def drive(pulse):
    return Drive(name="swing", unit="deg", start=-45, end=45, home=0, speed=60, moves=(), pulse=pulse)


NINETY = ((-45.0, 1000.0), (45.0, 2000.0))
"""The usual span of a hobby servo: 90 degrees for 1000 to 2000 us, 1500 us in the middle. Common practice, no source."""


def test_the_middle_of_the_usual_span_is_1500_us():
    assert pulse_at(drive(NINETY), 0) == pytest.approx(1500)
    assert value_at(drive(NINETY), 1500) == pytest.approx(0, abs=1e-12)


def test_values_beyond_the_two_points_go_on_along_the_line():
    assert pulse_at(drive(NINETY), 90) == pytest.approx(2500)


@pytest.mark.parametrize("pulse", [None, ((0.0, 1500.0), (0.0, 1600.0)), ((0.0, 1500.0), (30.0, 1500.0))])
def test_without_two_points_that_differ_nothing_is_told(pulse):
    assert (pulse_at(drive(pulse), 1), value_at(drive(pulse), 1500), pulses_within(drive(pulse), (0, 1))) == (None, None, None)


@pytest.mark.parametrize("pulse", [NINETY, (NINETY[0], (45.0, 200.0))])
def test_whole_pulses_stay_inside_the_travel_whichever_way_the_unit_turns(pulse):
    unit = drive(pulse)
    least, most = pulses_within(unit, (-10.03, 31.808))
    assert least < most
    inside = [value_at(unit, us) for us in (least, most)]
    assert all(-10.03 <= value <= 31.808 for value in inside)
    outside = [value_at(unit, us) for us in (least - 1, most + 1)]
    assert not any(-10.03 <= value <= 31.808 for value in outside)


def test_a_travel_between_two_pulses_has_none():
    assert pulses_within(drive(NINETY), (0.01, 0.02)) is None
