"""Names of a project are data in the window too: none is taken for mark-up, for the mark of a key, or for more than it says."""

import json

import pytest
from PySide6 import QtGui
from PySide6.QtCore import Qt
from PySide6.QtGui import QTextDocumentFragment
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QWidget

from app.actions import STEPS
from app.panels.words import as_entry, as_tip
from tests.bays import bar, bay, body, disc, drive, pivot, rule

TAG = "<b>x</b> <img src='/nowhere.png'>"
ARM, POST, PIN, DRIVE, BAY = f"{TAG} arm", f"{TAG} &post", f"{TAG} pin", f"{TAG} &1", f"{TAG} bay"


@pytest.fixture
def hostile(opened, tmp_path):
    """A window on an arm that swings past a post, in which everything has a hostile name."""
    bodies = [
        body(BAY, disc(0, 0, 2), fixed=True, depth=(20, 25)),
        body(POST, disc(0, 20, 2), fixed=True),
        body(ARM, bar((0, 0), (24, 0), 2), notes=TAG),
    ]
    record = bay(bodies, [pivot(PIN, BAY, ARM)], [drive(DRIVE, (0, 120), PIN)], required_gap=1.0, name=TAG, notes=TAG)
    record["gap_rules"] = [rule(BAY, ARM, unchecked=TAG)]
    file = tmp_path / "hostile.bay.json"
    file.write_text(json.dumps(record), encoding="utf-8")
    return opened(file)


def read(text):
    """What a reader sees of a text that Qt finds out for itself whether it is mark-up."""
    return QTextDocumentFragment.fromHtml(text).toPlainText() if QtGui.Qt.mightBeRichText(text) else text


@pytest.mark.parametrize("step", STEPS)
def test_no_name_is_taken_for_mark_up(hostile, step):
    hostile.show_step(step)
    hostile.desk.choice.pick_bodies((ARM,)) if step in ("Outline", "Joints") else hostile.desk.next_breach(1)
    QApplication.processEvents()
    shown = [one for one in hostile.findChildren(QWidget) if one.isVisible()]
    for label in (one for one in shown if isinstance(one, QLabel)):
        text = label.text()
        as_told = read(text) if label.textFormat() != Qt.TextFormat.PlainText else text
        assert "\N{OBJECT REPLACEMENT CHARACTER}" not in as_told, text  # an image
        assert "<b>x" in as_told or "x</b>" not in text, text
    for tip in (one.toolTip() for one in shown):
        assert "x</b>" not in tip, tip
        assert "<b>x" in read(tip) or "x" not in tip or "img" not in tip, tip
    assert all("&lt;" not in one.accessibleName() for one in shown)
    assert any("<b>x</b>" in one.accessibleName() for one in shown)


def test_an_ampersand_in_a_name_marks_no_key(hostile):
    hostile.show_step("Outline")
    named = [one for one in hostile.findChildren(QAbstractButton) if "&" in one.text()]
    assert any(one.text() == POST for one in named)
    assert [one.text() for one in named if not one.shortcut().isEmpty()] == []


def test_a_plain_text_that_looks_like_mark_up_is_a_tip_that_reads_the_same():
    assert read(as_tip(f"{TAG} & more")) == f"{TAG} & more"
    assert as_tip("arm and post: 0.50 mm at swing = 3 deg") == "arm and post: 0.50 mm at swing = 3 deg"


def test_an_ampersand_is_an_entry_of_a_menu_that_reads_the_same():
    assert as_entry("nuts & bolts") == "nuts && bolts"
