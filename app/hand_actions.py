"""What the actions on bodies and sections do: their names in the table to what is done, one step of the history each."""

from collections.abc import Callable, Mapping

from app.cards import Cards
from app.document.desk import Desk
from app.document.what_went import with_what_went
from app.files import Files
from app.stores_work import StoresWork
from core.errors import BaysweepError
from core.model.edit_sections import add_section, delete_section, duplicate_section

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
        "add_section": lambda: _add_section(desk),
        "duplicate_section": lambda: _duplicate_section(desk),
        "delete_section": lambda: _delete_section(desk, files),
    }


def _add_section(desk: Desk) -> None:
    if desk.document.change(desk.tr("Add a section"), add_section) and desk.project is not None:
        desk.choice.pick_section(desk.project.sections[-1].name)


def _duplicate_section(desk: Desk) -> None:
    name = desk.choice.section
    if name is None or desk.project is None:
        return
    place = [section.name for section in desk.project.sections].index(name) + 1
    if desk.document.change(desk.tr("Duplicate {section}").format(section=name), lambda project: duplicate_section(project, name)):
        desk.choice.pick_section(desk.project.sections[place].name)


def _delete_section(desk: Desk, files: Files) -> None:
    name, project = desk.choice.section, desk.project
    if name is None or project is None:
        return
    if len(project.sections) == 1:
        files.refused.emit(desk.tr("A project keeps one section. Delete its bodies, or close the project."))
        return
    deleted = delete_section(project, name)
    text = with_what_went(desk.tr("Delete {section}").format(section=name), deleted.gone, desk.tr)
    desk.document.change(text, lambda _project: deleted.project)
