"""The one sentence with which a file is refused, and the error that carries the findings of an invalid project."""

from pathlib import Path

from core.errors import ProjectFileError
from core.model.faults import fault_text, place_text
from core.model.finding import Finding, Place

NOWHERE = Place()


class InvalidProjectError(ProjectFileError):
    """The file was read but the project in it is not valid; `findings` holds every finding, warnings too."""

    def __init__(self, sentence: str, *, file: Path | None, place: str, findings: tuple[Finding, ...]) -> None:
        super().__init__(sentence, file=file, place=place)
        self.findings = findings


def refused(fault: str, remedy: str, *, file: Path | None, place: Place = NOWHERE) -> ProjectFileError:
    """An error whose sentence is: file, place, fault, remedy, and that the file is unchanged."""
    return ProjectFileError(_sentence(f"{place_text(place) or 'it'} {fault}. {remedy}", file), file=file, place=place.path)


def refused_as_invalid(findings: tuple[Finding, ...], *, file: Path | None) -> InvalidProjectError:
    """The same for a project with findings of level error: the first is told, the others are counted."""
    errors = [finding for finding in findings if finding.level == "error"]
    more = len(errors) - 1
    others = f". {'One more fault was' if more == 1 else f'{more} more faults were'} found" if more else ""
    sentence = _sentence(fault_text(errors[0]) + others, file)
    return InvalidProjectError(sentence, file=file, place=errors[0].place.path, findings=findings)


def _sentence(what: str, file: Path | None) -> str:
    return f"{file.name if file else 'The project'} was not opened: {what}; your file is unchanged."
