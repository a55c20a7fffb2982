"""Random hands on the real window, the same for the same seed: mouse, keys, words, numbers and actions, as a user makes them.

Each action is a method whose answer says what was done, for the log. What a window opens over itself (a card, a picker, a
question, a slip, the finder, a menu) is answered or sent away before the next one.
"""

import random
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication, QCheckBox, QLineEdit, QSpinBox, QWidget

from app.actions import ACTIONS
from app.board.board import Board
from app.panels.note_field import NoteField
from app.panels.number_field import NumberField
from app.panels.words import Word
from app.theme import DARK, LIGHT
from app.window import Window
from tests.desk.random_files import RandomFiles
from tests.desk.random_inputs import (
    ALT,
    CTRL,
    FILE_ACTIONS,
    KEYS,
    LEFT,
    MIDDLE,
    MOST_BODIES,
    NAMES,
    NO,
    NUMBERS,
    RIGHT,
    SHIFT,
    STEPS,
    TOOLS,
)  # fmt: skip


class RandomHands:
    """Works on `window` with `qtbot`. `log` holds what was done; `done` counts it, each use of a tool and each step back as one."""

    def __init__(self, window: Window, qtbot, rng: random.Random, folder: Path) -> None:
        self.window, self.qtbot, self.rng = window, qtbot, rng
        self.files = RandomFiles(window, qtbot, rng, folder / "files")
        self.log: list[str] = []
        self.done = 0
        self.ways: dict[Callable[[], str], int] = {
            self.action: 22,
            self.word: 26,
            self.number: 24,
            self.drag: 14,
            self.draw: 14,
            self.any_word: 8,
            self.text: 4,
            self.board_key: 8,
            self.click: 8,
            self.list_pick: 8,
            self.step: 5,
            self.undo: 5,
            self.redo: 4,
            self.name: 3,
            self.key: 5,
            self.strip: 4,
            self.timeline: 4,
            self.wheel: 2,
            self.finding: 4,
            self.section: 2,
            self.drive: 4,
            self.looks: 1,
            self.file: 4,
        }

    def act(self) -> None:
        """One action, and an answer to whatever it opened."""
        self.log.append("?")
        self.done += 1
        way = self.rng.choices(list(self.ways), weights=list(self.ways.values()))[0]
        if self._bodies() > MOST_BODIES:
            way = self.thin_out
        self.log[-1] = f"{way.__name__}: {way()}"
        if told := self.answer():
            self.log[-1] += f"; {told}"
        self.log[-1] += self._standing()

    def answer(self) -> str:
        """Answer what stands over the window, or send it away, until nothing does."""
        told = []
        for _ in range(12):
            one = self._answer_one()
            if not one:
                break
            told.append(one)
        return "; ".join(told)

    # The hand on the board.

    def drag(self) -> str:
        view, start = self.window.sheet.board.viewport(), self._place()
        if not view.isVisible():
            return "no board"
        end = start + QPoint(self.rng.randint(-120, 120), self.rng.randint(-120, 120)) if self.rng.random() < 0.8 else self._place()
        held = self.rng.choice((NO, NO, NO, NO, SHIFT, CTRL, ALT))
        button = LEFT if self.rng.random() < 0.9 else MIDDLE
        self.qtbot.mousePress(view, button, held, pos=start)
        for share in (0.02, 0.4, 0.8, 1.0):
            self.qtbot.mouseMove(view, start + (end - start) * share)
        interrupted = self.rng.random() < 0.12
        if interrupted:
            self.qtbot.keyClick(
                view, self.rng.choice((Qt.Key.Key_Escape, Qt.Key.Key_1, Qt.Key.Key_2, Qt.Key.Key_Z)), self.rng.choice((NO, CTRL))
            )
            if not view.isVisible():
                return "interrupted"
            self.qtbot.mouseMove(view, end - QPoint(3, 5))
        self.qtbot.mouseRelease(view, button, held, pos=end)
        return f"{start.toTuple()} to {end.toTuple()}, {held.name}, {button.name}{', a key between' if interrupted else ''}"

    def click(self) -> str:
        view, at = self.window.sheet.board.viewport(), self._place()
        if not view.isVisible():
            return "no board"
        held = self.rng.choice((NO, NO, NO, SHIFT, CTRL, ALT))
        if self.rng.random() < 0.15:
            self.qtbot.mouseDClick(view, LEFT, held, pos=at)
            return f"twice at {at.toTuple()}"
        self.qtbot.mouseClick(view, LEFT if self.rng.random() < 0.9 else RIGHT, held, pos=at)
        return f"at {at.toTuple()}, {held.name}"

    def draw(self) -> str:
        """A tool taken in hand and used on the board: places clicked, numbers typed, points taken back, done or left."""
        name = self.rng.choice([one for one in TOOLS if self.window.actions_by_name[one].isEnabled()])
        self.window.actions_by_name[name].trigger()
        board = self.window.sheet.board
        told = [name]
        for _ in range(self.rng.randint(1, 5)):
            if self.window.sheet.in_hand.tool is None or not board.viewport().isVisible():
                break
            told.append(self._use_tool(board))
        if self.rng.random() < 0.8 and board.isVisible():
            end = self.rng.choice((Qt.Key.Key_Return, Qt.Key.Key_Escape))
            self.qtbot.keyClick(board, end)
            told.append(end.name)
        return ", ".join(told)

    def _use_tool(self, board: Board) -> str:
        at = self._place()
        self.done += 1
        self.qtbot.mouseMove(board.viewport(), at)
        held = self.rng.choice((NO, NO, NO, SHIFT, CTRL, ALT))
        way = self.rng.choices(("click", "drag", "twice", "type", "key", "field"), weights=(8, 3, 1, 3, 3, 2))[0]
        if way == "click":
            self.qtbot.mouseClick(board.viewport(), LEFT, held, pos=at)
        elif way == "twice":
            self.qtbot.mouseDClick(board.viewport(), LEFT, held, pos=at)
        elif way == "drag":
            self.qtbot.mousePress(board.viewport(), LEFT, held, pos=at)
            self.qtbot.mouseMove(board.viewport(), self._place())
            self.qtbot.mouseRelease(board.viewport(), LEFT, held, pos=self._place())
        elif way == "type":
            self.qtbot.keyClicks(self.window.focusWidget() or board, self.rng.choice(("12", "0", "7.5", "45")))
            self.qtbot.keyClick(self.window.focusWidget() or board, self.rng.choice((Qt.Key.Key_Tab, Qt.Key.Key_Return, Qt.Key.Key_Escape)))
        elif way == "key":
            self.qtbot.keyClick(board, self.rng.choice(KEYS), held)
        else:
            return self._type_in(self.window.sheet.tool_line)
        return f"{way} {at.toTuple()}"

    def board_key(self) -> str:
        """Keys of the board: through grips and by them."""
        board = self.window.sheet.board
        if not board.isVisible():
            return "no board"
        board.setFocus()
        told = []
        for _ in range(self.rng.randint(1, 5)):
            key, held = self.rng.choice(KEYS), self.rng.choice((NO, NO, SHIFT))
            self.qtbot.keyClick(self.window.focusWidget() or board, key, held)
            told.append(key.name)
        self.done += len(told) - 1
        return ", ".join(told)

    def wheel(self) -> str:
        board = self.window.sheet.board
        if not board.isVisible():
            return "no board"
        turned, at = self.rng.choice((120, -120, 360, -360)), QPointF(self._place())
        there = board.viewport().mapToGlobal(at)
        event = QWheelEvent(at, there, QPoint(), QPoint(0, turned), Qt.MouseButton.NoButton, NO, Qt.ScrollPhase.NoScrollPhase, False)
        QApplication.sendEvent(board.viewport(), event)
        return str(turned)

    def strip(self) -> str:
        view = self.window.sheet.strip.viewport()
        if not view.isVisible():
            return "no strip"
        start = QPoint(self.rng.randint(0, view.width()), self.rng.randint(0, view.height()))
        end = start + QPoint(self.rng.randint(-30, 30), self.rng.randint(-5, 5))
        self.qtbot.mousePress(view, LEFT, pos=start)
        if self.rng.random() < 0.7:
            self.qtbot.mouseMove(view, start + (end - start) / 2)
            self.qtbot.mouseMove(view, end)
        self.qtbot.mouseRelease(view, LEFT, pos=end)
        return f"{start.toTuple()} to {end.toTuple()}"

    def timeline(self) -> str:
        view = self.window.sheet.timeline
        if not view.isVisible():
            return "no timeline"
        if self.rng.random() < 0.5:
            at = QPoint(self.rng.randint(0, view.width()), self.rng.randint(0, view.height()))
            self.qtbot.mouseMove(view, at)
            self.qtbot.mouseClick(view, LEFT, pos=at)
            return f"click at {at.toTuple()}"
        view.setFocus()
        key, held = self.rng.choice(KEYS[:10]), self.rng.choice((NO, SHIFT, CTRL))
        self.qtbot.keyClick(view, key, held)
        return f"{key.name}, {held.name}"

    # Words, numbers and names.

    def action(self) -> str:
        names = [one.name for one in ACTIONS if one.name not in FILE_ACTIONS and self.window.actions_by_name[one.name].isEnabled()]
        name = self.rng.choice(names)
        self.window.actions_by_name[name].trigger()
        return name

    def word(self) -> str:
        panel = self.window.sheet.panel
        work = panel.outline if panel.outline.isVisible() else panel.joints
        words = work.words if work.isVisible() and work.words else {w.text(): w for w in panel.findChildren(Word) if w.isVisible()}
        if not words:
            return "no words"
        key = self.rng.choice(list(words))
        if words[key].isEnabled():
            self.qtbot.mouseClick(words[key], LEFT)
        return key

    def any_word(self) -> str:
        """Any word on the sheet; those of the hand-over would write files."""
        words = [word for word in self.window.sheet.findChildren(Word) if word.isVisible() and word.isEnabled()]
        if not words or self.window.step == "Hand-over":
            return "no words"
        word = self.rng.choice(words)
        told = word.text()
        self.qtbot.mouseClick(word, LEFT)
        return told

    def text(self) -> str:
        """A text typed where there is a field for one: a reason, a pair to find, a note."""
        fields = [field for field in self.window.sheet.findChildren(QLineEdit) if field.isVisible() and not isinstance(field, NumberField)]
        notes = [field for field in self.window.sheet.findChildren(NoteField) if field.isVisible()]
        if not fields and not notes:
            return "no fields"
        field, text = self.rng.choice([*fields, *notes]), self.rng.choice(NAMES)
        if isinstance(field, QLineEdit):
            return f"{field.accessibleName()} {self._typed(field, text)}"
        field.setFocus()
        field.setPlainText(text)
        if self.rng.random() < 0.5:
            self.qtbot.keyClick(field, Qt.Key.Key_Return)
        return f"{field.accessibleName()} {text!r}"

    def number(self) -> str:
        return self._type_in(self.window.sheet if self.rng.random() < 0.2 else self.window.sheet.panel)

    def _type_in(self, part: QWidget) -> str:
        fields = [field for field in part.findChildren(NumberField) if field.isVisible()]
        if not fields:
            return "no numbers"
        field = self.rng.choice(fields)
        return f"{field.accessibleName()} {self._type_number(field)}"

    def name(self) -> str:
        field = self.window.sheet.panel.outline.name
        if field is None or not field.isVisible():
            return "no name"
        text = self.rng.choice(NAMES)
        return f"{self._typed(field, text)!r}"

    def list_pick(self) -> str:
        words = self.window.sheet.panel.bodies.findChildren(Word)
        words = [word for word in words if word.isVisible()]
        if not words:
            return "no bodies listed"
        word = self.rng.choice(words)
        self.qtbot.mouseClick(word, LEFT, self.rng.choice((NO, NO, CTRL, SHIFT)))
        return word.text()

    def finding(self) -> str:
        links = [link for link in self.window.sheet.panel.findings.links() if link.isVisible()]
        if not links:
            return "no findings"
        link = self.rng.choice(links)
        self.qtbot.mouseClick(link, LEFT)
        return link.text()

    def drive(self) -> str:
        lines = self.window.sheet.panel.drives
        names = [drive.name for drive in self.window.desk.project.drives] if self.window.desk.project else []
        if not lines.isVisible() or not names:
            return "no drives"
        line = lines.line_of(self.rng.choice(names))
        if self.rng.random() < 0.5:
            self.qtbot.mouseClick(line, LEFT, pos=QPoint(self.rng.randint(0, line.width()), 8))
        else:
            self.qtbot.keyClick(line, self.rng.choice((Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_PageUp, Qt.Key.Key_Home)))
        return line.accessibleName()

    # The window.

    def step(self) -> str:
        name = self.rng.choices(STEPS, weights=(5, 3, 2, 2, 1))[0]
        if self.rng.random() < 0.5:
            self.window.job_bar.step_chosen.emit(name)
        else:
            self.qtbot.keyClick(self.window, str(STEPS.index(name) + 1))
        return name

    def section(self) -> str:
        names = [section.name for section in self.window.desk.project.sections]
        name = self.rng.choice(names)
        self.window.job_bar.section_chosen.emit(name)
        return name

    def undo(self) -> str:
        times = self.rng.choice((1, 1, 1, 2, 5))
        for _ in range(times):
            self.window.actions_by_name["undo"].trigger()
        self.done += times - 1
        return str(times)

    def redo(self) -> str:
        times = self.rng.choice((1, 1, 2, 5))
        for _ in range(times):
            self.window.actions_by_name["redo"].trigger()
        self.done += times - 1
        return str(times)

    def key(self) -> str:
        at = self.window.focusWidget() or self.window
        key, held = self.rng.choice(KEYS), self.rng.choice((NO, NO, SHIFT, CTRL))
        self.qtbot.keyClick(at, key, held)
        return f"{key.name}, {held.name} in {type(at).__name__}"

    def looks(self) -> str:
        if self.rng.random() < 0.5:
            size = self.rng.choice(((1100, 700), (1280, 800), (1600, 1000)))
            self.window.resize(*size)
            return f"{size}"
        style = self.rng.choice((LIGHT, DARK))
        self.window.set_style(style)
        return style.name

    def file(self) -> str:
        return self.files.act()

    def thin_out(self) -> str:
        """Delete most bodies of the section."""
        section = self.window.desk.handwork.section
        names = [body.name for body in section.bodies]
        self.window.desk.choice.pick_bodies(tuple(self.rng.sample(names, len(names) * 2 // 3)))
        self.window.actions_by_name["delete"].trigger()
        return f"from {len(names)} bodies"

    # What stands over the window.

    def _answer_one(self) -> str:
        window = self.window
        if window.menu is not None and window.menu.isVisible():
            window.menu.close()
            return "menu closed"
        if window.finder.isVisible():
            return self._answer_finder()
        if window.slip.isVisible():
            self.qtbot.keyClick(window.slip, Qt.Key.Key_Escape)
            return "slip read"
        question = window.files.keeping.question
        if question is not None:
            self.qtbot.mouseClick(question.word("leave"), LEFT)
            return "question left"
        if window.stores.picker is not None:
            return self._answer_picker()
        if window.cards.card is not None:
            return self._answer_card()
        dialog = window.files.dialog()
        if dialog is not None:
            dialog.reject()
            return "dialog left"
        return ""

    def _answer_finder(self) -> str:
        finder = self.window.finder
        if self.rng.random() < 0.5:
            finder.hide()
            return "finder left"
        self.qtbot.keyClicks(finder.field(), self.rng.choice(("hold", "hide", "go to", "mirror", "zzz", "fit")))
        self.qtbot.keyClick(finder.field(), Qt.Key.Key_Return)
        told = finder.field().text()
        finder.hide()
        return f"found {told}"

    def _answer_picker(self) -> str:
        picker = self.window.stores.picker
        self.qtbot.keyClicks(picker.field(), self.rng.choice(("", "m", "servo", "zzz", "rod", "a")))
        for _ in range(self.rng.randint(0, 6)):
            self.qtbot.keyClick(picker.field(), Qt.Key.Key_Down)
        if self.rng.random() < 0.75:
            self.qtbot.keyClick(picker.field(), Qt.Key.Key_Return)
        if self.window.stores.picker is not None:
            self.qtbot.keyClick(picker, Qt.Key.Key_Escape)
        return f"picker, {picker.windowTitle()}"

    def _answer_card(self) -> str:
        card = self.window.cards.card
        told = [card.windowTitle()]
        for key in list(card.values()):
            if self.rng.random() < 0.5:
                told.append(f"{key} {self._fill(card.field(key))}")
                if self.window.cards.card is None:
                    return ", ".join(told)
        key = Qt.Key.Key_Return if self.rng.random() < 0.65 else Qt.Key.Key_Escape
        self.qtbot.keyClick(card, key)
        return ", ".join((*told, key.name))

    def _fill(self, field: QWidget) -> str:
        if isinstance(field, QCheckBox):
            field.toggle()
            return str(field.isChecked())
        if isinstance(field, QSpinBox):
            field.setValue(self.rng.choice((1, 2, 3, 4)))
            return str(field.value())
        if isinstance(field, QLineEdit):
            return self._typed(field, self.rng.choice(NUMBERS), ends=False)
        field.setValue(self.rng.choice((0.1, 50.0, 100.0, 150.0)))
        return str(field.value())

    def _type_number(self, field: NumberField) -> str:
        field.setFocus()
        if self.rng.random() < 0.25:
            for _ in range(self.rng.randint(1, 3)):
                self.qtbot.keyClick(field, self.rng.choice((Qt.Key.Key_Up, Qt.Key.Key_Down)), self.rng.choice((NO, SHIFT)))
            return f"spun to {field.text()}, {self._end_typing(field)}"
        text = self.rng.choice(NUMBERS) if self.rng.random() < 0.4 else f"{self.rng.uniform(-60, 60):.3f}"
        return self._typed(field, text)

    def _typed(self, field: QLineEdit, text: str, *, ends: bool = True) -> str:
        field.setFocus()
        field.selectAll()
        field.insert(text)
        field.setModified(True)
        field.textEdited.emit(field.text())
        return f"{text!r} {self._end_typing(field) if ends else ''}"

    def _end_typing(self, field: QLineEdit) -> str:
        way = self.rng.choices(("Return", "Escape", "Tab", "left typing"), weights=(12, 1, 1, 1))[0]
        if way != "left typing":
            self.qtbot.keyClick(field, getattr(Qt.Key, f"Key_{way}"))
        return way

    def _place(self) -> QPoint:
        """A place on the board: on a body's shape as often as anywhere."""
        board, section = self.window.sheet.board, self.window.desk.handwork.section
        bodies = [body for body in section.bodies if body.shapes] if section else []
        if bodies and self.rng.random() < 0.7:
            shape = self.rng.choice(self.rng.choice(bodies).shapes)
            at = getattr(shape, "centre", None) or getattr(shape, "start", None) or shape.points[0]
            place = board.viewportTransform().map(QPointF(*at)).toPoint()
            if board.viewport().rect().contains(place):
                return place + QPoint(self.rng.randint(-4, 4), self.rng.randint(-4, 4))
        view = board.viewport()
        return QPoint(self.rng.randint(0, view.width() - 1), self.rng.randint(0, view.height() - 1))

    def _standing(self) -> str:
        document = self.window.desk.document
        gesture = f", in {document._press.text!r}" if document.in_gesture else ""
        return f"  [{self.window.step} {document.history.index()} of {document.history.count()}{gesture}]"

    def _bodies(self) -> int:
        section = self.window.desk.handwork.section
        return len(section.bodies) if section else 0
