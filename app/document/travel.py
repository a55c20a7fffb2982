"""What a drive can do: the largest travel about home with no breach, and the places along it worth a light catch."""

from core.model.names import DriveName, SectionName
from core.model.project import Drive, Project
from core.sweep.result import Span, SweepResult


def safe_travels(project: Project, result: SweepResult | None) -> dict[DriveName, Span]:
    """Per drive the largest travel about home with no proved breach, the others at home.

    A drive is left out where any of its solo checks is undecided, where home itself is in a breach, or where it was not swept.
    """
    found = {drive.name: _safe(drive, result) for drive in project.drives} if result else {}
    return {name: span for name, span in found.items() if span is not None}


def _safe(drive: Drive, result: SweepResult) -> Span | None:
    checks = [check for check in result.of_sweep("solo") if check.drives == (drive.name,)]
    if not checks or any(check.verdict == "undecided" for check in checks):
        return None
    low, high = drive.start, drive.end
    for breach in (breach for check in checks for breach in check.breaches):
        if breach.start <= drive.home <= breach.end:
            return None
        if breach.end < drive.home:
            low = max(low, breach.end)
        else:
            high = min(high, breach.start)
    return (low, high)


def stops_along(result: SweepResult | None, section: SectionName, drive: DriveName) -> tuple[float, ...]:
    """The values of a drive at which a pair of the section reaches its required gap or first touches, the others at home."""
    checks = [check for check in result.of_sweep("solo") if (check.section, check.drives) == (section, (drive,))] if result else []
    values = {value for check in checks for breach in check.breaches for value in (breach.start, breach.end, *(breach.contact or ()))}
    return tuple(sorted(values))
