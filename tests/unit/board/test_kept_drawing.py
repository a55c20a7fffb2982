"""What floats over the section is shown by pictures; they show what would be drawn without them, and all of it."""

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFontMetricsF, QImage, QPainter, QPainterPath, QPen, QTransform

from app import theme
from app.board import paint
from app.board.kept_drawing import KeptDrawing
from app.board.paint import draw_items
from app.theme import LIGHT
from core.drawing.display_list import Fill, Group, Stroke, Text
from core.drawing.path import circle, polyline

pytestmark = pytest.mark.usefixtures("qapp")
ROUNDING = 2
"""Of 255: colours laid over each other in another order."""
WIDE, HIGH = 220, 160
TRIANGLE = (polyline((20.0, 20.0), (150.0, 30.0), (80.0, 120.0), closed=True),)
BEYOND = (polyline((-50.0, -40.0), (300.0, -30.0), (90.0, 100.0), closed=True),)
RING = (circle((80.0, 60.0), 30.0),)
KINDS = {
    "fill": [Fill((TRIANGLE,), "overlap")],
    "narrow line": [Stroke(RING, "narrow")],
    "wide line": [Stroke(TRIANGLE, "selected", "breach")],
    "beyond the edge": [Fill((BEYOND,), "hatch")],
    "words": [Text((60.0, 60.0), "0.40 mm", 13.0)],
    **{
        f"words in a halo, {anchor}": [
            Fill((TRIANGLE,), "breach"),
            Text((80.0, 60.0), "gap {}jÅ", size, anchor=anchor, strong=True, halo=True),
        ]
        for anchor, size in (("left", 13.0), ("middle", 20.0), ("right", 13.0))
    },
    "group": [Group((Fill((TRIANGLE,), "overlap"), Stroke(TRIANGLE, "wide")), RING)],
    "group of words": [Group((Fill((TRIANGLE,), "board"), Text((80.0, 60.0), "rib", 15.0)), RING)],
    "all over each other": [
        Fill((TRIANGLE,), "overlap"),
        Text((70.0, 60.0), "under", 15.0),
        Stroke(TRIANGLE, "wide"),
        Text((90.0, 66.0), "over", 13.0, halo=True),
    ],
}


def drawn(draw, ratio):
    """What `draw` paints on the board's ground, as numbers."""
    theme.load_fonts()
    image = QImage(round(WIDE * ratio), round(HIGH * ratio), QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(ratio)
    image.fill(LIGHT.board)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    try:
        draw(painter)
    finally:
        painter.end()
    return np.frombuffer(image.constBits(), np.uint8).astype(int)


@pytest.mark.parametrize("ratio", [1.0, 1.5, 2.0])
@pytest.mark.parametrize("kind", KINDS)
def test_a_picture_shows_what_would_be_drawn(kind, ratio):
    items, there = tuple(KINDS[kind]), QTransform(1.0, 0.0, 0.0, -1.0, 3.0, 140.0)
    bare = drawn(lambda painter: draw_items(painter, items, LIGHT, to_pixels=there), ratio)
    kept = KeptDrawing()
    for _frame in range(2):
        shown = drawn(lambda painter: kept.draw(painter, items, LIGHT, to_pixels=there), ratio)
        assert np.abs(shown - bare).max() <= ROUNDING
    assert (bare != drawn(lambda _: None, ratio)).any()


@pytest.mark.parametrize("ratio", [1.0, 1.25, 1.5, 2.0])
@pytest.mark.parametrize(
    "words",
    [
        "12.345 mm",
        "AV, To fly",
        "AWAY, To dry",
        "45.0\N{DEGREE SIGN} \N{MULTIPLICATION SIGN} \N{MINUS SIGN}3",
        "flap",
        "profile fin",
        "r\N{LATIN SMALL LETTER I WITH DIAERESIS}b W",
    ],
)
def test_halos_of_letters_are_together_the_halo_of_the_words(words, ratio):
    theme.load_fonts()
    paint._in_halo.cache_clear()
    picture, base = paint._in_halo(words, 15.0, "#ff0000", "#ffffff", ratio, strong=True)
    whole = QImage(picture.size(), picture.format())
    whole.setDevicePixelRatio(ratio)
    whole.fill(0)
    face, outline = paint._face(15.0, strong=True), QPainterPath()
    outline.addText(base, face, words)
    painter = QPainter(whole)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    halo = QPen(QColor("#ffffff"), paint.HALO)
    halo.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.strokePath(outline, halo)
    painter.setFont(face)
    painter.setPen(QColor("#ff0000"))
    painter.drawText(base, words)
    painter.end()
    one, other = (np.frombuffer(image.constBits(), np.uint8).reshape(-1, 4).astype(int) for image in (picture, whole))
    seen = (one[:, 3] > 0) | (other[:, 3] > 0)
    apart = np.abs(one - other).max(axis=1)[seen]
    # A letter stands at most half a device pixel beside where it does among the others, so that its halo's edge is up to half as strong.
    assert apart.mean() < 16.0
    assert (apart > 140).mean() < 0.01


def test_letters_that_join_have_one_halo():
    theme.load_fonts()
    face, words = theme.font(15), "rib 2.50\N{DEGREE SIGN}"
    begins, letters = zip(*paint._apart(words, face), strict=True)
    assert "".join(letters) == words
    metrics = QFontMetricsF(face)
    assert begins == pytest.approx([metrics.horizontalAdvance(words[:place]) for place in range(len(words))], abs=0.5)
    for joined in ("\N{ARABIC LETTER SEEN}\N{ARABIC LETTER LAM}", "e\N{COMBINING ACUTE ACCENT}", "\N{OWL}"):
        assert paint._apart(joined, face) == [(0.0, joined)]
    assert [letters for _, letters in paint._apart("a flap, a fin", face)] == ["a", " ", "fl", "a", "p", ",", " ", "a", " ", "fi", "n"]
    assert paint._apart("", face) == []
