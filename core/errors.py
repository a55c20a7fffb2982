"""The errors of Baysweep.

BaysweepError            what a user can mend; carries a sentence that says how
  ProjectFileError       a project file that cannot be read or written; carries the file and the place
    InvalidProjectError  (in core.project_file.refusal) read, but not valid; carries every finding
  UsageError             a value on the command line that does not fit the project

Expected outcomes (a breach, a loop that cannot be assembled, a budget that ran out) are values, not errors.
"""

from pathlib import Path


class BaysweepError(Exception):
    """Something the user can mend; `str()` is the sentence to show."""


class ProjectFileError(BaysweepError):
    """A project file was not read or not written; the file on disk is unchanged."""

    def __init__(self, sentence: str, *, file: Path | None = None, place: str = "") -> None:
        super().__init__(sentence)
        self.file = file
        self.place = place


class UsageError(BaysweepError):
    """A drive, section or value named by the user does not fit the project."""
