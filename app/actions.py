"""Every action of the window in one table: its name, its words, its keys, when it can be asked for.

Menus, words on the sheet, keys, the finder and the manual all read this table; the window gives each name what it does.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final, Literal

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAction, QKeySequence

Condition = Literal[
    "always",
    "project",
    "drive",
    "two_drives",
    "sections",
    "pair",
    "breach",
    "visit",
    "no_map",
    "before",
    "undo",
    "redo",
    "sweep",
    "result",
    "unchecked",
    "bodies",
    "marks",
    "in_hand",
    "free_joint",
    "file",
    "folder",
]
"""drive: the project has drives; two_drives: at least two; sections: as many sections. breach: one is known.

visit: a breach or the map is looked at, or a tool is in hand.

no_map: the two-drive map does not stand where detail A would. sweep: one is running. result: one is done.

bodies: some are picked; in_hand: those, or a joint. free_joint: a joint is in hand that a drive can move and none does.

marks: something measured is kept. file: one to hand over is shown as things are now; folder: one was written to.
"""


@dataclass(frozen=True, slots=True)
class Action:
    """One thing the user can ask for. `keys` are Qt key texts. `on_sheet`: keys of the timeline, or held, told for the manual."""

    name: str
    text: str
    keys: tuple[str, ...] = ()
    when: Condition = "always"
    on_sheet: bool = False
    is_switch: bool = False
    word: str = ""

    @property
    def short(self) -> str:
        """What stands on the sheet, where the whole text would be too long."""
        return self.word or self.text


STEPS: Final = ("Outline", "Joints", "Travel", "Gaps", "Hand-over")

JOINTS: Final = ("joint_pivot", "joint_slide", "joint_pin_slot", "joint_bolted", "draw_rod", "drive_joint")

FILES: Final = {
    "report": "Make the clearance report",
    "limits": "Make limits for a controller",
    "envelope": "Make an envelope",
    "template": "Make a template, 1 : 1",
    "bench": "Make the bench sheet",
    "picture": "Make a picture",
}
"""Kinds of file to hand over, and what is asked for."""

SHAPES: Final = ("disc", "bar", "box", "polygon", "bore", "frame")

ACTIONS: Final[tuple[Action, ...]] = (
    Action("new", "Begin a new project", ("Ctrl+N",)),
    Action("open", "Open a project", ("Ctrl+O",)),
    Action("samples", "Open a sample", ("Ctrl+Shift+O",)),
    Action("recent", "Open a recent project"),
    Action("save", "Save", ("Ctrl+S",), "project"),
    Action("save_as", "Save as", ("Ctrl+Shift+S",), "project"),
    Action("close", "Close the project", ("Ctrl+W",), "project"),
    Action("quit", "Quit", ("Ctrl+Q",)),
    Action("undo", "Undo", ("Ctrl+Z",), "undo"),
    Action("redo", "Redo", ("Ctrl+Shift+Z", "Ctrl+Y"), "redo"),
    Action("before", "Show the state before the last edit, while held", ("B",), "before", on_sheet=True),
    Action("cut", "Cut the bodies in hand", ("Ctrl+X",), "bodies", word="Cut"),
    Action("copy", "Copy the bodies in hand", ("Ctrl+C",), "bodies", word="Copy"),
    Action("paste", "Paste bodies", ("Ctrl+V",), "project", word="Paste"),
    Action("duplicate", "Duplicate the bodies in hand", ("Ctrl+D",), "bodies", word="Duplicate"),
    Action("delete", "Delete the bodies or the joint in hand", ("Delete", "Ctrl+Backspace"), "in_hand", word="Delete"),
    Action("select_all", "Pick every body of the section", ("Ctrl+A",), "project", word="Pick all"),
    Action("draw_bay", "Draw the bay's wall by its size", ("Ctrl+B",), "project", word="Bay by size"),
    *(Action(f"draw_{kind}", f"Draw a {kind}", (f"Ctrl+{key}",), "project", word=kind.capitalize()) for key, kind in enumerate(SHAPES, 1)),
    Action("cut_hole", "Cut a hole in a box or polygon", ("Ctrl+7",), "project", word="Hole"),
    Action("joint_pivot", "Place a pivot", ("Alt+1",), "project", word="Pivot"),
    Action("joint_slide", "Place a slide", ("Alt+2",), "project", word="Slide"),
    Action("joint_pin_slot", "Place a pin in a slot", ("Alt+3",), "project", word="Pin in slot"),
    Action("joint_bolted", "Bolt two bodies together", ("Alt+4",), "project", word="Bolt"),
    Action("draw_rod", "Draw a rod between two bodies", ("Alt+5",), "project", word="Rod"),
    Action("drive_joint", "Drive the joint in hand", ("Alt+6",), "free_joint", word="Drive it"),
    Action("mirror", "Mirror the bodies in hand, left for right", ("Ctrl+M",), "bodies", word="Mirror"),
    Action("mirror_line", "Mirror the bodies in hand in a line", ("Ctrl+Shift+M",), "bodies", word="Mirror in a line"),
    Action("move_by", "Move the bodies in hand by number", ("Ctrl+E",), "bodies", word="Move by"),
    Action("turn_by", "Turn the bodies in hand by number", ("Ctrl+T",), "bodies", word="Turn by"),
    Action("scale_by", "Scale the bodies in hand by number", ("Ctrl+Shift+E",), "bodies", word="Scale by"),
    Action("repeat_round", "Repeat the bodies in hand round a centre", ("Ctrl+R",), "bodies", word="Repeat round"),
    Action("repeat_along", "Repeat the bodies in hand along a line", ("Ctrl+L",), "bodies", word="Repeat along"),
    Action("stores", "Set down from the stores", ("Ctrl+I",), "project", word="Stores"),
    Action("put_in_stores", "Put the bodies in hand into your stores", ("Ctrl+Shift+I",), "bodies", word="Put in stores"),
    Action("push_pull", "Join two bodies in hand by push-pull rods", ("Ctrl+P",), "bodies", word="Push-pull rods"),
    Action("hide", "Hide the bodies in hand", ("Ctrl+H",), "bodies", word="Hide"),
    Action("show_all", "Show every body", ("Ctrl+Shift+H",), "project", word="Show all"),
    Action("hold", "Hold the bodies in hand in their place", ("Ctrl+K",), "bodies", word="Hold"),
    Action("let_go", "Let every body be moved", ("Ctrl+Shift+K",), "project", word="Let all go"),
    Action("fix", "Make the bodies in hand fixed, or moving again", ("Ctrl+Shift+F",), "bodies", word="Fixed or moving"),
    Action("body_earlier", "Put the bodies in hand earlier in the list", ("Ctrl+PgUp",), "bodies", word="Earlier in the list"),
    Action("body_later", "Put the bodies in hand later in the list", ("Ctrl+PgDown",), "bodies", word="Later in the list"),
    Action("add_section", "Add a section", ("Ctrl+Shift+N",), "project"),
    Action("duplicate_section", "Duplicate the section", ("Ctrl+Shift+D",), "project"),
    Action("rename_section", "Rename the section", (), "project"),
    Action("section_earlier", "Put the section earlier", (), "sections"),
    Action("section_later", "Put the section later", (), "sections"),
    Action("delete_section", "Delete the section", (), "project"),
    Action("step_outline", "Go to Outline", ("1",)),
    Action("step_joints", "Go to Joints", ("2",)),
    Action("step_travel", "Go to Travel", ("3",)),
    Action("step_gaps", "Go to Gaps", ("4",)),
    Action("step_hand_over", "Go to Hand-over", ("5",)),
    Action("find", "Find an action", ("/",)),
    Action("next_section", "Show the next section", ("Ctrl+Tab",), "sections"),
    Action("previous_section", "Show the section before", ("Ctrl+Shift+Tab",), "sections"),
    Action("tightest", "Tightest pair", ("P",), "project", is_switch=True),
    Action("travel_ends", "Travel ends", ("T",), "drive", is_switch=True),
    Action("detail", "Detail", ("D",), "no_map", is_switch=True),
    Action("pairs", "List every pair, and what is checked", ("Ctrl+G",), "project", is_switch=True, word="Pairs"),
    Action("find_pair", "Find a pair by its names", ("Ctrl+F",), "project"),
    Action("measure", "Measure on the board", ("E",), "project", word="Measure"),
    Action("measure_distance", "Measure a distance", ("L",), "project", word="Distance"),
    Action("measure_angle", "Measure an angle", ("A",), "project", word="Angle"),
    Action("measure_radius", "Measure a radius", ("O",), "project", word="Radius"),
    Action("measure_gap", "Measure the gap of two bodies", ("G",), "project", word="Gap"),
    Action("clear_marks", "Clear the marks", ("Ctrl+Shift+L",), "marks", word="Clear the marks"),
    Action("two_drive_map", "Two-drive map", ("M",), "two_drives", is_switch=True),
    Action("fit", "Fit the section to the board", ("0",), "project", word="Fit"),
    Action("home", "Drive everything home", ("H",), "drive", word="All home"),
    Action("run", "Run the drive in hand", ("R",), "drive", word="Run"),
    Action("previous_drive", "Take the drive before in hand", ("[",), "drive"),
    Action("next_drive", "Take the next drive in hand", ("]",), "drive"),
    Action("next_breach", "Visit the next breach", ("N",), "breach"),
    Action("previous_breach", "Visit the breach before", ("Shift+N",), "breach"),
    Action("give_back", "Put the tool away, close the map, or leave the breach and give back your pose", ("Escape",), "visit"),
    Action("sweep", "Sweep again", ("F5",), "project"),
    Action("stop", "Stop the sweep", ("Ctrl+.",), "sweep"),
    Action("why", "Why this verdict", ("W",), "result"),
    Action("unchecked", "List what is not checked, and why", ("U",), "unchecked"),
    *(Action(f"make_{kind}", text, (), "project") for kind, text in FILES.items()),
    Action("write_file", "Write the file that is shown", ("Ctrl+Shift+W",), "file"),
    Action("open_folder", "Open the folder written to", (), "folder"),
    Action("hand_over_json", "Hand over the answer for machines (JSON)", (), "result"),
    Action("hand_over_text", "Hand over the answer to read (text)", (), "result"),
    Action("reduced_motion", "Keep motion down", (), is_switch=True),
    Action("row_up", "Pair above", ("Up",), "pair", on_sheet=True),
    Action("row_down", "Pair below", ("Down",), "pair", on_sheet=True),
    Action("column_left", "Column to the left", ("Left",), "pair", on_sheet=True),
    Action("column_right", "Column to the right", ("Right",), "pair", on_sheet=True),
    Action("column_fine_left", "Fine step to the left", ("Shift+Left",), "pair", on_sheet=True),
    Action("column_fine_right", "Fine step to the right", ("Shift+Right",), "pair", on_sheet=True),
    Action("edge_left", "Band edge to the left", ("Ctrl+Left",), "pair", on_sheet=True),
    Action("edge_right", "Band edge to the right", ("Ctrl+Right",), "pair", on_sheet=True),
    Action("pose", "Pose the board as the column says", ("Return", "Enter"), "pair", on_sheet=True),
)
KEY_PAGE_HEAD: Final = """# Every action and its keys

`/` in the window finds any of these by its words. Actions without a key stand in its menus and side panel, and are found the same way.
The keys of rows, columns and bands act while the timeline has the keyboard.
"""
BY_NAME: Final[Mapping[str, Action]] = {action.name: action for action in ACTIONS}


def key_text(action: Action) -> str:
    """The action's first key as the platform writes it; empty where it has none."""
    return QKeySequence(action.keys[0]).toString(QKeySequence.SequenceFormat.NativeText) if action.keys else ""


def tool_tip(action: QAction, tr: Callable[[str], str]) -> str:
    """The whole text of an action and its key, for where its word stands alone."""
    one = BY_NAME[action.objectName()]
    key = key_text(one)
    return f"{tr(one.text)} ({key})" if key else tr(one.text)


def key_page() -> str:
    """The manual's page of all actions, in Markdown: what each does and its keys."""
    lines = [f"| {action.text} | {', '.join(action.keys) or '-'} |" for action in ACTIONS]
    return "\n".join([KEY_PAGE_HEAD, "| action | keys |", "|---|---|", *lines, ""])


def found(words: str, actions: tuple[Action, ...] = ACTIONS) -> tuple[Action, ...]:
    """The actions whose text holds every word of `words`, those that begin with them first; all where it is empty."""
    wanted = words.casefold().split()
    hits = [action for action in actions if all(word in action.text.casefold() for word in wanted)]
    return tuple(sorted(hits, key=lambda action: not action.text.casefold().startswith(words.casefold().strip())))


def make_actions(owner: QObject, handlers: Mapping[str, Callable[[], object]], tr: Callable[[str], str]) -> dict[str, QAction]:
    """One QAction for each of the table; KeyError where the window has nothing to do for one.

    Actions of the sheet get no shortcut of their own: the timeline reads those keys while it has the keyboard.
    """
    made: dict[str, QAction] = {}
    for action in ACTIONS:
        one = QAction(tr(action.text), owner)
        one.setObjectName(action.name)
        one.setCheckable(action.is_switch)
        handler = handlers[action.name]
        one.triggered.connect(lambda _on=False, handler=handler: handler())
        if not action.on_sheet:
            one.setShortcuts([QKeySequence(key) for key in action.keys])
            one.setShortcutContext(Qt.ShortcutContext.WindowShortcut)
        made[action.name] = one
    return made
