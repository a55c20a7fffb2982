"""What the actions on files to hand over do: their names in the table to what is done."""

from collections.abc import Callable, Mapping
from functools import partial
from typing import get_args

from app.document.desk import Desk
from app.files import Files
from app.jobs.file_ask import FileKind

Handler = Callable[[], object]


def hand_over_handlers(desk: Desk, files: Files, show_step: Callable[[str], object]) -> Mapping[str, Handler]:
    """The handlers of the actions that make a file, write it, and show where it went."""

    def make(kind: FileKind) -> None:
        show_step("Hand-over")
        desk.handing.choose(kind)

    return {
        **{f"make_{kind}": partial(make, kind) for kind in get_args(FileKind)},
        "write_file": files.ask_hand_over_file,
        "open_folder": files.open_folder,
        "hand_over_json": files.ask_hand_over_json,
        "hand_over_text": files.ask_hand_over_text,
    }
