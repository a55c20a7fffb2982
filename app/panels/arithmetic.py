"""Numbers typed by the user: arithmetic and a unit, nothing else ("23/2+1.5 mm")."""

import math
from dataclasses import dataclass
from typing import Literal

from core.model.project import Unit

Shown = Unit | Literal["us"]
"""What a number is told in: a drive's unit, or microseconds of a pulse."""

UNITS: dict[Shown, tuple[str, ...]] = {
    "mm": ("mm",),
    "deg": ("deg", "\N{DEGREE SIGN}"),
    "us": ("us", "\N{MICRO SIGN}s", "\N{GREEK SMALL LETTER MU}s"),
}
MINUS_SIGNS = "\N{MINUS SIGN}\N{EN DASH}"
DEEPEST = 40
"""Brackets and signs inside each other; more is a slip of the finger."""


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with a typed number, and at which letter, from 0."""

    place: int
    text: str


def evaluated(typed: str, unit: Shown) -> float | Fault:
    """The value of `+ - * / ( )` over decimal numbers, an optional unit at the end; the first fault where there is one."""
    text = typed.translate({ord(sign): "-" for sign in MINUS_SIGNS}).rstrip()
    for word in UNITS[unit]:
        if text.endswith(word):
            text = text[: -len(word)].rstrip()
            break
    reader = _Reader(text.replace(",", "."))
    try:
        value = reader.whole()
    except _StopError as stop:
        return Fault(stop.place, stop.text)
    return value if math.isfinite(value) else Fault(0, "too large")


class _StopError(Exception):
    def __init__(self, place: int, text: str) -> None:
        super().__init__(text)
        self.place = place
        self.text = text


class _Reader:
    """Sum of products of signed terms, from left to right."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._place = 0
        self._depth = 0

    def whole(self) -> float:
        value = self._sum()
        if self._next():
            raise _StopError(self._place, "not a number or a sign")
        return value

    def _sum(self) -> float:
        value = self._product()
        while self._next() in ("+", "-"):
            sign = 1 if self._take() == "+" else -1
            value += sign * self._product()
        return value

    def _product(self) -> float:
        value = self._term()
        while self._next() in ("*", "/", "\N{MULTIPLICATION SIGN}"):
            place = self._place
            if self._take() == "/":
                by = self._term()
                if by == 0:
                    raise _StopError(place, "divides by 0")
                value /= by
            else:
                value *= self._term()
        return value

    def _term(self) -> float:
        sign = self._next()
        self._depth += 1
        if self._depth > DEEPEST:
            raise _StopError(self._place, "too many brackets")
        if sign in ("+", "-"):
            self._take()
            value = self._term() * (1 if sign == "+" else -1)
        elif sign == "(":
            self._take()
            value = self._sum()
            if self._next() != ")":
                raise _StopError(self._place, "a bracket is not closed")
            self._take()
        else:
            value = self._number()
        self._depth -= 1
        return value

    def _number(self) -> float:
        self._next()
        start = self._place
        while self._place < len(self._text) and (self._text[self._place] in "0123456789."):
            self._place += 1
        digits = self._text[start : self._place]
        if not digits.strip(".") or digits.count(".") > 1:
            raise _StopError(start, "a number is missing here" if not digits else "not a number")
        return float(digits)

    def _next(self) -> str:
        while self._place < len(self._text) and self._text[self._place] == " ":
            self._place += 1
        return self._text[self._place] if self._place < len(self._text) else ""

    def _take(self) -> str:
        self._place += 1
        return self._text[self._place - 1]
