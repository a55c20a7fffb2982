"""The two themes as frozen styles, the type sizes, and the font that ships with the program.

One hue path serves both themes: straw, ochre, apricot, then vermilion, carmine, mulberry, plum. Its lightness falls in
the light theme and rises in the dark one, with the largest step at the required gap. Bodies keep to cool hues, which
heat never enters. `tests/unit/test_palette.py` holds every one of these promises.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from types import MappingProxyType
from typing import Final, Literal

from PySide6.QtGui import QFont, QFontDatabase

from core.drawing.lines import LINES

ThemeName = Literal["light", "dark"]

FAMILY: Final = "Barlow"
SENTENCE, HEAD, TEXT, DATA, RULER = 20, 15, 13, 12, 11
"""Type sizes in logical pixels: the sentence, heads, text, data in tables, ruler numbers."""

WORD_SPACING: Final = 0.08
"""Added between words, in type sizes: at small sizes a number and its unit would run together."""

REGULAR, MEDIUM, SEMIBOLD = QFont.Weight.Normal, QFont.Weight.Medium, QFont.Weight.DemiBold

WIDE, NARROW, SELECTED = LINES["wide"].width, LINES["narrow"].width, LINES["selected"].width
"""Line widths in logical pixels, for what is drawn outside the board too."""

RHYTHM, MARGIN = 8, 20
"""Spacing in logical pixels."""


@dataclass(frozen=True, slots=True)
class Style:
    """All that drawing may know of looks: colours as `#rrggbb`, and which theme. Line widths stand in `core.drawing.lines`.

    heat: seven steps, roomy to deep (gap >= 4 x required; 2 x to 4 x; required to 2 x; half required to required;
    above 0 to half; 0 down to -0.5 mm; below). Breach begins at the fourth. bodies: cool tints by name, in the order in
    which moving bodies take them.
    """

    name: ThemeName
    board: str
    panel: str
    field: str
    ink: str
    quiet_text: str
    rule: str
    grid: str
    grid_ten: str
    breach_text: str
    proved_text: str
    focus: str
    hatch: str
    heat: tuple[str, ...]
    bodies: Mapping[str, str]

    def body_tint(self, colour: str | None, *, order: int) -> str:
        """The tint called `colour`; where there is none of that name, the tint of the `order`-th moving body."""
        if colour is not None and colour in self.bodies:
            return self.bodies[colour]
        tints = tuple(self.bodies.values())
        return tints[order % len(tints)]

    def tint_name(self, colour: str | None, *, order: int) -> str:
        """The name of the tint that `body_tint` gives, for sentences such as "moving, in lagoon"."""
        if colour is not None and colour in self.bodies:
            return colour
        names = tuple(self.bodies)
        return names[order % len(names)]


LIGHT: Final = Style(
    name="light",
    board="#fbfaf6",
    panel="#f3f1eb",
    field="#fbfaf6",
    ink="#1e262c",
    quiet_text="#5b636a",
    rule="#cfccc2",
    grid="#ece9e0",
    grid_ten="#dcd8cc",
    breach_text="#9a2e56",
    proved_text="#1d5a66",
    focus="#1d5a66",
    hatch="#fff4ea",
    heat=("#f7f1d8", "#f6ddae", "#f6bf82", "#e76b49", "#cb4456", "#9a2e56", "#5d244d"),
    bodies=MappingProxyType(
        {
            "celadon": "#a4c2b9",
            "lagoon": "#62aac0",
            "sky": "#9acaef",
            "pewter": "#9da0a9",
            "lilac": "#c4bcd0",
            "sage": "#82a696",
            "ice": "#b2eefb",
            "mist": "#d0dedf",
        }
    ),
)

DARK: Final = Style(
    name="dark",
    board="#17191c",
    panel="#1f2226",
    field="#17191c",
    ink="#eceae4",
    quiet_text="#a3a9ae",
    rule="#3a3f45",
    grid="#202428",
    grid_ten="#2a2f34",
    breach_text="#ffadc3",
    proved_text="#8fd0da",
    focus="#8fd0da",
    hatch="#4a1436",
    heat=("#36331e", "#4f401d", "#734d1c", "#d46143", "#fa7c86", "#ffadc3", "#f9deef"),
    bodies=MappingProxyType(
        {
            "celadon": "#4c6e60",
            "lagoon": "#0c7089",
            "sky": "#5987b5",
            "pewter": "#62666e",
            "lilac": "#7e7b97",
            "sage": "#44524c",
            "ice": "#0b5570",
            "mist": "#647e80",
        }
    ),
)

STYLES: Final[Mapping[ThemeName, Style]] = MappingProxyType({"light": LIGHT, "dark": DARK})


def load_fonts() -> tuple[str, ...]:
    """Make the shipped font known to Qt and return the families found; needs a running QGuiApplication.

    Call it once, before the first `font()`. A font file that Qt cannot read is left out; Qt's own font then stands in.
    """
    families: list[str] = []
    for file in sorted(resources.files("app").joinpath("fonts").iterdir(), key=lambda entry: entry.name):
        if file.name.endswith(".ttf"):
            number = QFontDatabase.addApplicationFontFromData(file.read_bytes())
            families += QFontDatabase.applicationFontFamilies(number) if number >= 0 else []
    return tuple(dict.fromkeys(families))


def font(size: int = TEXT, *, weight: QFont.Weight = REGULAR) -> QFont:
    """The drafting sans at `size` logical pixels, with figures of one width so that columns of numbers stand still."""
    return QFont(_font(size, weight))


@lru_cache(maxsize=64)
def _font(size: int, weight: QFont.Weight) -> QFont:
    made = QFont(FAMILY)
    made.setPixelSize(size)
    made.setWeight(weight)
    made.setFeature(QFont.Tag("tnum"), 1)
    made.setWordSpacing(WORD_SPACING * size)
    return made
