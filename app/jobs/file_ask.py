"""Questions for files of the hand-over and their pages, and the answers to them: frozen, and quick to import."""

from dataclasses import dataclass
from typing import Literal

from core.model.names import BodyName, DriveName
from core.model.project import Project

FileKind = Literal["report", "limits", "envelope", "template", "bench", "picture"]


@dataclass(frozen=True, slots=True)
class FileAsk:
    """A file to be made. What a kind does not ask for is left as it is here.

    at: where drives stand, drive units; others stand at home. drives: those that run for an envelope; none: all.
    table: two drives of an allowed-together table, or none. grow: mm.
    """

    project: Project
    kind: FileKind
    ending: str
    date: str = ""
    section: str = ""
    bodies: tuple[BodyName, ...] = ()
    drives: tuple[DriveName, ...] = ()
    grow: float = 0.0
    table: tuple[DriveName, ...] = ()
    at: tuple[tuple[DriveName, float], ...] = ()


@dataclass(frozen=True, slots=True)
class PageAsk:
    """An image of one page of a file that was made, `width` device pixels wide."""

    file: FileAsk
    number: int
    width: int


@dataclass(frozen=True, slots=True)
class Made:
    """A file's bytes; `sizes` of its pages in mm, none where it is shown as text. `why_not`: why there is no file."""

    data: bytes = b""
    sizes: tuple[tuple[float, float], ...] = ()
    why_not: str = ""


@dataclass(frozen=True, slots=True)
class PageImage:
    """Rows from the top, four bytes a pixel: blue, green, red and one that means nothing."""

    number: int
    width: int
    height: int
    stride: int
    data: bytes
