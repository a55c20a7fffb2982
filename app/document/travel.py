"""What a drive can do: the largest travel about home with no breach, and the places along it worth a light catch."""

from core.model.names import DriveName, SectionName
from core.sweep.result import Span, SweepResult


def safe_travels(result: SweepResult | None) -> dict[DriveName, Span]:
    """Per drive the largest travel about home with no breach, the others at home; drives that have none are left out."""
    found = result.safe_travel if result else ()
    return {
        safe.drive: (safe.start, safe.end) for safe in found if safe.others == "home" and safe.start is not None and safe.end is not None
    }


def stops_along(result: SweepResult | None, section: SectionName, drive: DriveName) -> tuple[float, ...]:
    """The values of a drive at which a pair of the section reaches its required gap or first touches, the others at home."""
    checks = [check for check in result.of_sweep("solo") if (check.section, check.drives) == (section, (drive,))] if result else []
    values = {value for check in checks for breach in check.breaches for value in (breach.start, breach.end, *(breach.contact or ()))}
    return tuple(sorted(values))
