"""At which scale does a section fit, and how is a scale bar drawn? Scales after ISO 5455."""

from core.drawing.display_list import DisplayList, Fill, Stroke, Text
from core.drawing.extent import Extent
from core.drawing.path import polyline
from core.drawing.sheet import rectangle
from core.model.shapes import Point

_STEPS = (1.0, 2.0, 5.0)
_DECADES = range(4, -6, -1)

BAR_HEIGHT = 1.4
_BAR_LONGEST = 60.0
_TEXT_SIZE = 12.0


def scale_that_fits(reach: Extent, *, width: float, height: float, largest: float = 50.0) -> float:
    """The largest scale of ISO 5455 (mm of paper to a mm of the section), up to `largest`, at which `reach` fits."""
    wide, high = reach[2] - reach[0], reach[3] - reach[1]
    scales = sorted(
        {step * 10.0**decade for decade in _DECADES for step in _STEPS} | {1 / (step * 10.0**n) for n in range(6) for step in _STEPS}
    )
    fitting = [scale for scale in scales if scale <= largest and scale * wide <= width and scale * high <= height]
    return fitting[-1] if fitting else scales[0]


def scale_words(scale: float) -> str:
    """The scale as drawings write it: `2 : 1` or `1 : 5`."""
    return f"{scale:g} : 1" if scale >= 1.0 else f"1 : {1.0 / scale:g}"


def bar_length(scale: float) -> float:
    """The round length, mm of the section, that a scale bar shows: the longest of at most 60 mm on paper."""
    lengths = [step * 10.0**decade for decade in _DECADES for step in _STEPS]
    return max(length for length in lengths if length * scale <= _BAR_LONGEST + 1e-9)


def scale_bar(right_end: Point, *, scale: float) -> DisplayList:
    """A bar in two halves, one of them filled, its lower right corner at `right_end`, with its lengths above; sheet mm."""
    length = bar_length(scale)
    x, y = right_end
    left, middle = x - length * scale, x - length * scale / 2.0
    label_y = y + BAR_HEIGHT + 2.6
    whole = rectangle((left, y, x, y + BAR_HEIGHT))
    ticks = tuple(polyline((at, y + BAR_HEIGHT), (at, y + BAR_HEIGHT + 0.8)) for at in (left, middle, x))
    return (
        Fill((rectangle((left, y, middle, y + BAR_HEIGHT)),), "ink"),
        Stroke((*whole, *ticks), "narrow"),
        Text((left, label_y), "0", _TEXT_SIZE),
        Text((middle, label_y), f"{length / 2.0:g}", _TEXT_SIZE),
        Text((x, label_y), f"{length:g} mm", _TEXT_SIZE, "ink", "right"),
    )
