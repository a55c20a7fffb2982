"""Typed names: every reference of a project is one of these, so that renaming can walk the types."""

import unicodedata
from functools import lru_cache
from typing import NewType

BodyName = NewType("BodyName", str)
JointName = NewType("JointName", str)
DriveName = NewType("DriveName", str)
SectionName = NewType("SectionName", str)

KEPT_NAMES = 8192
"""Names of which it is kept whether they can stand: all are asked again after each edit."""

EVERY_BODY = BodyName("*")
"""Stands for every body of the section in a gap rule; no body may be called so."""


def tidy(name: str) -> str:
    """Return `name` in Unicode NFC, without white space at its ends."""
    return unicodedata.normalize("NFC", name).strip()


@lru_cache(maxsize=KEPT_NAMES)
def name_fault(name: str) -> str | None:
    """Say what is wrong with `name`, or return None where it can stand."""
    if tidy(name) != name:
        return "has white space at its ends or is not in Unicode form NFC"
    if not name:
        return "is empty"
    if name == EVERY_BODY:
        return "is the sign for every body"
    if any(unicodedata.category(letter) in ("Cc", "Cf", "Cs", "Zl", "Zp") for letter in name):
        return "holds a control character"
    return None
