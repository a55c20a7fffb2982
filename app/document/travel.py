"""What a drive can do: the largest travel about home with no breach, and the places along it worth a light catch."""

from collections.abc import Mapping

from core.model.names import DriveName, SectionName
from core.model.project import Project
from core.sentences.numbers import Translator
from core.sentences.together import span_words
from core.sweep.result import SafeBox, Span, SweepResult


def safe_travels(result: SweepResult | None) -> dict[DriveName, Span]:
    """Per drive the largest travel about home with no breach, the others at home; drives that have none are left out."""
    found = result.safe_travel if result else ()
    return {
        safe.drive: (safe.start, safe.end) for safe in found if safe.others == "home" and safe.start is not None and safe.end is not None
    }


def together_words(project: Project, box: SafeBox, alone: Mapping[DriveName, Span], tr: Translator) -> dict[DriveName, str]:
    """Per drive what may be told of its safe travel: by itself, and together with all others."""
    told = {}
    for name, low, high in box.travels:
        by_itself = (
            tr("Safe with the others at home: {span}.").format(span=span_words(alone[name], name, project, tr)) if name in alone else ""
        )
        both = tr("Safe together, with the others anywhere in theirs: {span}.").format(span=span_words((low, high), name, project, tr))
        told[name] = " ".join(filter(None, (by_itself, both)))
    return told


def stops_along(result: SweepResult | None, section: SectionName, drive: DriveName) -> tuple[float, ...]:
    """The values of a drive at which a pair of the section reaches its required gap or first touches, the others at home."""
    checks = result.solo_of.get((section, drive), ()) if result else ()
    values = {value for check in checks for breach in check.breaches for value in (breach.start, breach.end, *(breach.contact or ()))}
    return tuple(sorted(values))
