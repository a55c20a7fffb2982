"""Which letters are there, and how wide are words? The faces that drawings are set in, passed in by the caller as files."""

import re
import unicodedata
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

MARK = "◊"
"""Stands, visibly, for a letter that a face does not have."""

FALLBACKS = ("Barlow", "Arial", "Helvetica", "sans-serif")
"""Families a reader's program may set the words in, the first it has."""


@dataclass(frozen=True)
class Face:
    """One face of the font. Widths in type sizes; nothing is drawn here."""

    file: Path

    @cached_property
    def font(self) -> TTFont:
        """The face as reportlab reads it; an error of reportlab's where the file is no TrueType font."""
        return TTFont(self.file.stem, str(self.file))

    @property
    def cap_height(self) -> float:
        """Height of capitals in type sizes."""
        return float(self.font.face.capHeight) / 1000.0

    def has(self, letter: str) -> bool:
        """Whether the face can show the letter."""
        return ord(letter) in self.font.face.charToGlyph

    def shown(self, words: str) -> str:
        """The words with every letter that the face lacks replaced by a visible mark, one mark a cluster of marks."""
        return "".join(letter if self.has(letter) else MARK for letter in sound(words))

    def width(self, words: str) -> float:
        """The width of `shown(words)` in type sizes."""
        return float(self.font.stringWidth(self.shown(words), 1.0))

    def registered(self) -> str:
        """The name under which a canvas of reportlab sets this face; reportlab keeps faces in a table of its own."""
        if self.font.fontName not in pdfmetrics.getRegisteredFontNames():
            pdfmetrics.registerFont(self.font)
        return str(self.font.fontName)


@dataclass(frozen=True)
class Fonts:
    """The two faces that drawings are set in."""

    regular: Face
    strong: Face

    def face(self, *, strong: bool) -> Face:
        """The face for strong or plain words."""
        return self.strong if strong else self.regular

    def width(self, words: str, *, size: float, strong: bool = False) -> float:
        """The width of one line of words, in the unit of `size`."""
        return size * self.face(strong=strong).width(words)

    def wrapped(self, words: str, *, size: float, width: float, strong: bool = False) -> tuple[str, ...]:
        """The words in lines of at most `width`; a single word that is wider is cut, its end told by an ellipsis."""
        lines: list[str] = []
        for word in words.split():
            longer = f"{lines[-1]} {word}" if lines else word
            if lines and self.width(longer, size=size, strong=strong) <= width:
                lines[-1] = longer
            else:
                lines.append(self.cut(word, size=size, width=width, strong=strong))
        return tuple(lines)

    def cut(self, words: str, *, size: float, width: float, strong: bool = False) -> str:
        """The words, or as much of their start as fits into `width` with an ellipsis behind it."""
        if self.width(words, size=size, strong=strong) <= width:
            return words
        kept = words
        while kept and self.width(kept.rstrip() + "…", size=size, strong=strong) > width:
            kept = kept[:-1]
        return kept.rstrip() + "…"


def fonts_in(folder: Path) -> Fonts:
    """The program's faces from the folder that holds them: Barlow, regular and medium."""
    return Fonts(Face(folder / "Barlow-Regular.ttf"), Face(folder / "Barlow-Medium.ttf"))


def sound(words: str) -> str:
    """The words on one line, without what no reader should be handed.

    White space becomes a blank; control letters, halves of pairs and letters that turn the direction of others become marks.
    """
    return "".join(_sound(letter) for letter in unicodedata.normalize("NFC", words))


def with_units(words: str) -> str:
    """The words with no line break between a number and its unit."""
    return _NUMBER_AND_UNIT.sub("\N{NO-BREAK SPACE}", words)


_NUMBER_AND_UNIT = re.compile(r"(?<=\d) (?=(?:mm|deg|\N{MICRO SIGN}s)\b)")
_TURNING = frozenset("\u061c\u200b\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufeff")


def _sound(letter: str) -> str:
    if letter.isspace():
        return " "
    kind = unicodedata.category(letter)
    return MARK if kind in ("Cc", "Cs", "Cn", "Co") or letter in _TURNING else letter
