"""What random hands do their work with: the actions and tools they ask for, what they type, the keys they press."""

from PySide6.QtCore import Qt

from app.actions import ACTIONS, JOINTS

STEPS = ("Outline", "Joints", "Travel", "Gaps", "Hand-over")
FILE_ACTIONS = frozenset(
    {
        *("open", "save", "save_as", "quit", "close", "new", "samples", "recent", "reduced_motion"),
        *("write_file", "open_folder", "hand_over_json", "hand_over_text"),
    }
)
"""Those that the hands at files ask for (`random_files.py`), that end the program, open another one, or write to the user's settings."""

MOST_BODIES = 10
"""Beyond these the hand deletes: a bay of a thousand bodies finds nothing that one of ten does not."""

TOOLS = (
    *(one.name for one in ACTIONS if one.name.startswith(("draw_", "measure")) and one.name != "draw_bay"),
    *(name for name in JOINTS if name not in ("draw_rod", "drive_joint")),
    "cut_hole",
)
"""Actions that take a tool in hand."""

NUMBERS = ("0", "-0", "1", "-3", "5", "12.5", "23/2+1.5", "7 mm", "30 deg", "0.1", "-40", "90", "180", "1e-7", "99999", "", "2*(3", "fish")
NAMES = ("arm", "arm", "lid", "*", " ", "a\N{COMBINING ACUTE ACCENT}rm", "{body}", "<b>bold</b>", "lid 2", "x" * 80)
KEYS = (
    Qt.Key.Key_Escape,
    Qt.Key.Key_Return,
    Qt.Key.Key_Tab,
    Qt.Key.Key_Backtab,
    Qt.Key.Key_Space,
    Qt.Key.Key_Up,
    Qt.Key.Key_Down,
    Qt.Key.Key_Left,
    Qt.Key.Key_Right,
    Qt.Key.Key_Home,
    Qt.Key.Key_Delete,
    Qt.Key.Key_Backspace,
    Qt.Key.Key_Slash,
)
BETWEEN = (Qt.Key.Key_Escape, Qt.Key.Key_1, Qt.Key.Key_2, Qt.Key.Key_Z)
"""Keys pressed while a drag goes on; with Ctrl the last is undo."""

NO, SHIFT, CTRL, ALT = (
    Qt.KeyboardModifier.NoModifier,
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.AltModifier,
)
LEFT, MIDDLE, RIGHT = Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton, Qt.MouseButton.RightButton
