"""A name is followed through being renamed, and only through that."""

import pytest

from app.document.followed import followed


@pytest.mark.parametrize(
    ("name", "before", "after", "now"),
    [
        ("b", "abc", "abc", "b"),
        ("b", "abc", "cba", "b"),
        ("b", "abc", "axc", "x"),
        ("c", "abc", "abx", "x"),
        ("b", "abc", "ac", None),
        ("b", "abc", "xyc", None),
        ("b", "abc", "acx", None),
        ("b", "", "abc", "b"),
        ("x", "abc", "abd", None),
        (None, "abc", "abd", None),
        ("a", "a", "", None),
    ],
)
def test_a_name_is_followed(name, before, after, now):
    assert followed(name, list(before), list(after)) == now
