"""Lines end between words, not inside what is read as one."""

import pytest

from app.panels.unbroken import unbroken


@pytest.mark.parametrize(
    ("said", "kept"),
    [
        ("outline within <b>0.10 mm</b>.", "outline within <b>0.10~mm</b>."),
        ("From <b>3</b> to <b>4</b> mm deep", "From <b>3</b> to <b>4</b>~mm deep"),
        ("about <b>(0, \N{MINUS SIGN}36)</b> on x", "about <b>(0,~\N{MINUS SIGN}36)</b> on x"),
        ("in 12 % of 3 positions", "in 12~% of 3 positions"),
        ("with <b>fold / 2</b>", "with <b>fold~/~2</b>"),
        ("on <b>right outer rod</b>", "on <b>right~outer~rod</b>"),
        ("on <b>the rod of the right outer lid</b>", "on <b>the rod of the right outer lid</b>"),
        ("a = 3 mm", "a~=~3~mm"),
        ("5 millimetres", "5 millimetres"),
        ("<b>petal 3</b> (2, in all)", "<b>petal~3</b> (2, in all)"),
    ],
)
def test_blanks_at_which_no_line_ends(said, kept):
    assert unbroken(said).replace("\N{NO-BREAK SPACE}", "~") == kept
