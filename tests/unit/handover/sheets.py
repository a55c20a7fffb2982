"""Sheets that the writers are tried on, and the program's own fonts."""

from pathlib import Path

import app
from core.drawing.display_list import Fill, Group, Heat, Stroke, Text, Tint
from core.drawing.path import circle, polyline
from core.drawing.sheet import Sheet, rectangle
from core.handover.fonts import fonts_in

FONTS = fonts_in(Path(app.__file__).parent / "fonts")

SIGNS = "°±Ø≥≤−×…·½²µ"
"""The signs of the trade."""

HOSTILE = (
    "</text><script>alert(1)</script>",
    "\"quoted\" & 'quoted' <b>",
    "]]><!--",
    "owl\u202egnp.exe",
    "שלום",
    "gate \U0001f989",
    "a\u0007b\u0000c",
    "\ufffe lone \ud800",
    "(unbalanced \\",
)
"""Names that would break a writer which trusts them."""

RULE_MM = 100.0


def ruled() -> Sheet:
    """A sheet with a rule of 100 mm, one of everything, and the trade's signs."""
    rule = (polyline((20.0, 20.0), (20.0 + RULE_MM, 20.0)),)
    ring = (circle((60.0, 60.0), 10.0), circle((60.0, 60.0), 6.0, hole=True))
    window = (circle((100.0, 60.0), 10.0),)
    return Sheet(
        140.0,
        90.0,
        (
            Fill((ring,), Tint(None, 0)),
            Stroke(ring, "wide"),
            Stroke((polyline((50.0, 60.0), (70.0, 60.0)),), "centre"),
            Group((Fill((rectangle((80.0, 40.0, 130.0, 60.0)),), Heat(4)),), window),
            Text((70.0, 80.0), SIGNS, 13.0, halo=True),
        ),
        (("rule", (Stroke(rule, "narrow"),)),),
    )


def named(words: str) -> Sheet:
    """A sheet with these words alone."""
    return Sheet(140.0, 20.0, (Text((5.0, 10.0), words, 13.0, "ink", "left", strong=True, halo=True),))
