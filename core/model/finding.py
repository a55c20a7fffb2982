"""A finding: something the user should know of the project, as a code and data; `core.sentences` makes it words."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Level = Literal["error", "warning", "note"]
Datum = str | float | int | bool | tuple["Datum", ...] | None


@dataclass(frozen=True, slots=True)
class Place:
    """Where in the project, by names and by path (`sections[0].bodies[4].shapes[0]`); empty where it does not apply."""

    section: str = ""
    body: str = ""
    joint: str = ""
    drive: str = ""
    path: str = ""

    def as_names(self) -> dict[str, str]:
        """The names that are set, for JSON: `{"section": "Side", "joint": "yoke slot"}`."""
        named = {"section": self.section, "body": self.body, "joint": self.joint, "drive": self.drive, "path": self.path}
        return {key: name for key, name in named.items() if name}


@dataclass(frozen=True, slots=True)
class Finding:
    """`code` is kebab-case and stable ("depth-empty"); `data` holds the numbers and names that the sentence needs.

    level error: the project is not valid and is not swept; warning: swept, but look at this; note: for information.
    """

    level: Level
    place: Place
    code: str
    data: Mapping[str, Datum] = field(default_factory=dict)
