"""All words of the window go through Qt's translation: with every text marked, nothing unmarked is left but names and numbers."""

import re

import pytest
from PySide6.QtCore import QTranslator
from PySide6.QtWidgets import QApplication, QComboBox, QWidget

from app.actions import STEPS
from app.board.tools.snap import candidates
from core.model.names import BodyName
from core.model.project import Body
from core.model.shapes import Disc

MARK = "\N{LEFT-POINTING DOUBLE ANGLE QUOTATION MARK}"
BETWEEN, ARROW = " \N{MIDDLE DOT} ", " \N{DOWN ARROWHEAD}"
NOT_WORDS = re.compile(r"[\d.,\s\N{MINUS SIGN}-]+(mm|\N{DEGREE SIGN})?|\.[a-z]+|\d{4}-\d\d-\d\d")
"""Numbers with their unit, endings of files, and a date."""


class Marking(QTranslator):
    """Puts a mark before every text."""

    def translate(self, _context, text, _disambiguation=None, _number=-1):
        return f"{MARK}{text}"

    def isEmpty(self):  # noqa: N802 - as Qt names it
        return False


@pytest.fixture
def marked(qapp):
    """Every text marked, until the test ends; before the window is made."""
    marking = Marking()
    qapp.installTranslator(marking)
    yield
    qapp.removeTranslator(marking)


@pytest.fixture
def abroad(marked, opened):  # noqa: ARG001 - first the language
    """The barrier arm in a window of another language."""
    return opened("barrier_arm")


def told(window):
    """Every text, tip and spoken name that is shown."""
    for one in window.findChildren(QWidget):
        if one.isVisible():
            whole = getattr(one, "whole", None) or getattr(one, "text", None)
            shown = one.currentText() if isinstance(one, QComboBox) else whole() if callable(whole) else ""
            yield from (
                (one, text)
                for text in (shown, one.toolTip(), one.accessibleName(), one.accessibleDescription())
                if isinstance(text, str) and text
            )


@pytest.mark.parametrize("step", STEPS)
def test_nothing_but_names_and_numbers_is_said_in_the_programs_own_language(abroad, step):
    abroad.show_step(step)
    abroad.desk.choice.pick_bodies((BodyName("rod"),)) if step == "Outline" else abroad.desk.next_breach(1)
    QApplication.processEvents()
    names = {record.name for section in abroad.desk.project.sections for record in (*section.bodies, *section.joints, section)}
    names |= {drive.name for drive in abroad.desk.project.drives} | {abroad.desk.project.name}
    left = {
        (type(one).__name__, text)
        for one, text in told(abroad)
        if MARK not in text and not set(text.removesuffix(ARROW).split(BETWEEN)) <= names and not NOT_WORDS.fullmatch(text)
    }
    assert not left, left


def test_every_action_is_translated(abroad):
    assert [name for name, action in abroad.actions_by_name.items() if not action.text().startswith(MARK)] == []


@pytest.mark.usefixtures("marked")
def test_what_is_snapped_to_is_named_in_the_users_language():
    body = Body(name=BodyName("wheel"), fixed=True, depth=(0, 1), shapes=(Disc(centre=(0, 0), radius=5),))
    assert [one.told for one in candidates([body], (0.1, 0), within=1, grid=1)] == [f"{MARK}centre of wheel", f"{MARK}grid"]
