"""What do paints look like on paper? One frozen look, whose steps stay apart in grey print too."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from core.drawing.display_list import Heat, Paint, Tint

_NAMED: Final[Mapping[str, str]] = MappingProxyType(
    {
        "ink": "#12171b",
        "quiet": "#4e565d",
        "board": "#ffffff",
        "breach": "#8c1f49",
        "overlap": "#7d2348",
        "hatch": "#ffffff",
        "rule": "#c9c9c4",
    }
)

_TINTS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "celadon": "#c8dad4",
        "lagoon": "#a3ccd9",
        "sky": "#c2e0f6",
        "pewter": "#c5c7cc",
        "lilac": "#dcd7e3",
        "sage": "#b7ccc2",
        "ice": "#d1f5fc",
        "mist": "#e3ecec",
    }
)
"""The names of the window's tints, paler: toner is dear, and names are read on them."""

_HEAT: Final = ("#f7f1d8", "#f6ddae", "#f6bf82", "#e76b49", "#cb4456", "#9a2e56", "#5d244d")


@dataclass(frozen=True, slots=True)
class Look:
    """Colours as `#rrggbb` by what they mean. tints: by name, in the order in which moving bodies take them; heat: seven steps."""

    named: Mapping[str, str]
    tints: Mapping[str, str]
    heat: tuple[str, ...]

    def colour(self, paint: Paint) -> str:
        """The colour of `paint`; a tint of no known name is the one of the body's order."""
        match paint:
            case Tint():
                known = tuple(self.tints.values())
                return self.tints.get(paint.colour or "", known[paint.order % len(known)])
            case Heat():
                return self.heat[paint.step]
            case _:
                return self.named[paint]


PAPER: Final = Look(_NAMED, _TINTS, _HEAT)
