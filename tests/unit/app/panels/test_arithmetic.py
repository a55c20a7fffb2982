"""Typed numbers: arithmetic and a unit, and the place of a slip."""

import pytest

from app.panels.arithmetic import Fault, evaluated


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("23/2+1.5 mm", 13.0),
        ("12", 12.0),
        ("-4.5", -4.5),
        ("\N{MINUS SIGN}4.5", -4.5),
        ("2*(3-1)", 4.0),
        ("8/2/2", 2.0),
        ("1-2-3", -4.0),
        ("--3", 3.0),
        (" 1 , 5 ".replace(" ", ""), 1.5),
        (".5", 0.5),
        ("3 \N{MULTIPLICATION SIGN} 4", 12.0),
    ],
)
def test_arithmetic_is_worked_out_from_left_to_right(typed, value):
    assert evaluated(typed, "mm") == pytest.approx(value)


@pytest.mark.parametrize("typed", ["45", "45 deg", "45\N{DEGREE SIGN}", "45 \N{DEGREE SIGN}"])
def test_degrees_may_be_written_or_left_out(typed):
    assert evaluated(typed, "deg") == 45.0


@pytest.mark.parametrize(
    ("typed", "place"),
    [("", 0), ("2+", 2), ("2x", 1), ("(2", 2), ("1..2", 0), ("4/0", 1), ("2 3", 2), ("7 inch", 2), ("5 deg", 2), ("(" * 99, 40)],
)
def test_a_slip_is_told_with_its_place(typed, place):
    fault = evaluated(typed, "mm")
    assert isinstance(fault, Fault)
    assert fault.place == place
    assert fault.text


def test_a_number_beyond_all_bounds_is_a_fault():
    assert isinstance(evaluated("9" * 400, "mm"), Fault)
