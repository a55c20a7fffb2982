import csv
import io

import pytest

from core.handover.spreadsheet import csv_of


def read(text):
    return list(csv.reader(io.StringIO(text, newline="")))


def test_numbers_stand_as_numbers_and_nothing_as_nothing():
    assert csv_of(("a", "b", "c"), [(-0.16, None, 1200.0)]) == "a,b,c\r\n-0.16,,1200\r\n"


def test_minus_nought_is_nought():
    assert csv_of(("a",), [(-1e-9,)]) == "a\r\n0\r\n"


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n", "\uff1d"])
def test_words_that_a_spreadsheet_would_run_get_a_quote_before_them(start):
    hostile = f'{start}cmd|"/c calc"!A0, x'
    assert read(csv_of((hostile,), [(hostile,)])) == [[f"'{hostile}"], [f"'{hostile}"]]


def test_commas_quotes_and_line_ends_come_back_as_they_were():
    words = 'a "quoted", name\nof two lines'
    assert read(csv_of(("name", "x"), [(words, 1.5)])) == [["name", "x"], [words, "1.5"]]


def test_what_is_not_a_number_is_refused():
    with pytest.raises(ValueError, match="cannot be written"):
        csv_of(("a",), [(float("nan"),)])
