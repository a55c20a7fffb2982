"""What the actions on bodies and sections do: their names in the table to what is done, one step of the history each."""

from collections.abc import Callable, Mapping

from app.cards import Cards
from app.document.desk import Desk
from app.files import Files
from app.stores_work import StoresWork
from core.errors import BaysweepError

Handler = Callable[[], object]


def hand_handlers(desk: Desk, cards: Cards, files: Files, stores: StoresWork) -> Mapping[str, Handler]:
    """The handlers of the actions that change what is drawn."""
    hand = desk.handwork

    def paste() -> None:
        try:
            hand.paste()
        except BaysweepError as refusal:
            files.refused.emit(str(refusal))

    return {
        "new": files.new,
        "cut": hand.cut,
        "copy": hand.copy,
        "paste": paste,
        "duplicate": hand.duplicate,
        "delete": hand.delete,
        "select_all": hand.select_all,
        "draw_bay": cards.bay,
        "mirror": lambda: hand.mirror(about=hand.middle()),
        "mirror_line": cards.mirror,
        "move_by": cards.move,
        "turn_by": cards.turn,
        "scale_by": cards.scale,
        "repeat_round": cards.repeat_round,
        "repeat_along": cards.repeat_along,
        "stores": stores.open,
        "put_in_stores": stores.put_in,
        "push_pull": stores.push_pull,
        "hide": lambda: hand.hide(hidden=True),
        "show_all": lambda: hand.hide(hidden=False),
        "hold": lambda: hand.hold(held=True),
        "let_go": lambda: hand.hold(held=False),
        "fix": hand.fix,
        "body_earlier": lambda: hand.reorder(-1),
        "body_later": lambda: hand.reorder(1),
        "add_section": desk.sections.add,
        "duplicate_section": desk.sections.duplicate,
        "section_earlier": lambda: desk.sections.reorder(-1),
        "section_later": lambda: desk.sections.reorder(1),
        "delete_section": lambda: _delete_section(desk, files),
    }


def _delete_section(desk: Desk, files: Files) -> None:
    if not desk.sections.delete() and len(desk.sections.names()) == 1:
        files.refused.emit(desk.tr("A project keeps one section. Delete its bodies, or close the project."))
