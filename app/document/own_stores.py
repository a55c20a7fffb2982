"""The user's own stores: bodies and stations kept in a file of the user's, for every project. A broken file is never written over."""

from pathlib import Path

from core.model.edit_project import set_name
from core.model.fragment import Fragment
from core.model.fresh_names import fresh_name
from core.project_file.stores_file import read_stores, write_stores


class OwnStores:
    """Reads the file anew each time, since another window may have written it. All methods raise ProjectFileError, with a sentence."""

    def __init__(self, file: Path) -> None:
        self.file = file

    def entries(self) -> tuple[Fragment, ...]:
        """All that was put in, in that order; the name of each is its project's."""
        return read_stores(self.file)

    def put_in(self, fragment: Fragment, name: str) -> str:
        """Put a fragment in under `name`, or the next free one like it, which is given back."""
        entries = self.entries()
        free = fresh_name(name, (entry.name for entry in entries))
        write_stores((*entries, set_name(fragment, free)), self.file)
        return free

    def take_out(self, name: str) -> None:
        """Take an entry out for good. KeyError where there is none of that name."""
        entries = self.entries()
        if all(entry.name != name for entry in entries):
            raise KeyError(name)
        write_stores([entry for entry in entries if entry.name != name], self.file)
