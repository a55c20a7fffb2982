"""The Hand-over step through the real window: each file is shown, and written as the command line writes it."""

import os
from pathlib import Path

import pytest
from click.testing import CliRunner
from msgspec import structs
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDesktopServices, QMouseEvent, QWheelEvent
from PySide6.QtWidgets import QApplication, QFileDialog

from app.actions import FILES
from app.command_line import sample_files
from app.hand_over_commands import envelope, picture, template
from app.panels.scroll import Scroll
from app.report_commands import bench, limits, report
from core.project_file.read import read_project
from core.project_file.write import write_project

MADE_MS = 60_000
DAY = "2026-01-31"

KINDS = (
    ("report", ".html"),
    ("report", ".pdf"),
    ("report", ".csv"),
    ("limits", ".csv"),
    ("limits", ".json"),
    ("limits", ".h"),
    ("envelope", ".svg"),
    ("template", ".pdf"),
    ("bench", ".csv"),
    ("picture", ".svg"),
    ("picture", ".png"),
)
PAGED = {("report", ".html"), ("report", ".pdf"), ("envelope", ".svg"), ("template", ".pdf"), ("picture", ".svg"), ("picture", ".png")}


@pytest.fixture
def saved(tmp_path):
    """The barrier arm, saved by this program under a name that a page must not take for marks."""
    project = structs.replace(read_project(sample_files()["barrier_arm"]), name="Arm <b>&1 =A1")
    file = tmp_path / "arm.bay.json"
    write_project(project, file)
    return file


@pytest.fixture
def handing(opened, saved, qtbot, monkeypatch):
    """The window at the Hand-over step, its first file made. Dialogs and slips are not put on the screen, which is none."""
    window = opened(saved)
    monkeypatch.setattr(QFileDialog, "open", lambda _dialog: None)
    monkeypatch.setattr(window.slip, "tell", lambda *_told: None)
    window.desk.handing.set_options(date=DAY)
    window.show_step("Hand-over")
    ready(window, qtbot)
    return window


def ready(window, qtbot):
    handing = window.desk.handing
    qtbot.waitUntil(lambda: handing.ready and not handing._wait.isActive(), timeout=MADE_MS)


def choose(window, qtbot, kind, ending):
    panel = window.sheet.panel.hand_over
    qtbot.mouseClick(panel.kinds[kind], Qt.MouseButton.LeftButton)
    qtbot.mouseClick(panel.endings[ending], Qt.MouseButton.LeftButton)
    assert (window.desk.handing.kind, window.desk.handing.ending) == (kind, ending)
    ready(window, qtbot)


def written(window, target):
    window.sheet.panel.hand_over.write.click()
    dialog = window.files.dialog()
    assert dialog is not None
    dialog.fileSelected.emit(str(target))
    dialog.reject()
    return target.read_bytes()


def from_command_line(kind, file, target, window):
    section, bodies = window.desk.handing.section(), window.desk.handing.group()
    at = [word for name, value in window.desk.pose.values.items() for word in ("--at", f"{name}={value!r}")]
    command, more = {
        "report": (report, ["--date", DAY]),
        "limits": (limits, []),
        "envelope": (envelope, ["--section", section, *(word for body in bodies for word in ("--body", body))]),
        "template": (template, ["--section", section]),
        "bench": (bench, []),
        "picture": (picture, ["--section", section, *at]),
    }[kind]
    CliRunner().invoke(command, [str(file), "-o", str(target), *more], standalone_mode=False, catch_exceptions=False)
    return target.read_bytes()


@pytest.mark.parametrize(("kind", "ending"), KINDS)
def test_a_file_is_shown_and_written_as_the_command_line_writes_it(handing, saved, qtbot, tmp_path, kind, ending):
    choose(handing, qtbot, kind, ending)
    preview = handing.sheet.preview
    assert preview.isVisible()
    assert not handing.sheet.board.isVisible()
    if (kind, ending) in PAGED:
        qtbot.waitUntil(lambda: sharp(preview.pages), timeout=MADE_MS)
        assert has_ink(preview.pages)
    else:
        assert preview.text.isVisible()
        assert preview.text.toPlainText().splitlines() == handing.desk.handing.made.data.decode().splitlines()
    expected = from_command_line(kind, saved, tmp_path / f"expected{ending}", handing)
    assert written(handing, tmp_path / f"got{ending}") == expected


def sharp(pages):
    """Whether the first page is there in its own width: the one made before a bar narrowed the room is shown until then."""
    return 0 in pages.shown() and pages._images[0][1].width() == round(pages.areas()[0].width() * pages.devicePixelRatioF())


def has_ink(pages):
    """Whether anything but white stands on the first page; what is in view of it may be a template's empty corner."""
    image = pages._images[0][1]
    return any(image.pixelColor(x, y).lightness() < 128 for y in range(0, image.height(), 2) for x in range(0, image.width(), 3))


def test_an_edit_makes_the_report_out_of_date_and_undoing_it_takes_that_back(handing, qtbot, tmp_path):
    assert handing.job_bar.state_of("Hand-over") == "nothing handed over yet"
    written(handing, tmp_path / "report.html")
    assert handing.job_bar.state_of("Hand-over") == "report written"
    before = handing.desk.handing.made.data
    handing.desk.document.change("Ask for more", lambda project: structs.replace(project, required_gap=2.5))
    line = handing.sheet.panel.hand_over.line
    assert line.whole() == "The sweep is not done; this would be out of date."
    assert not handing.sheet.panel.hand_over.write.isEnabled()
    assert handing.job_bar.state_of("Hand-over") == "report out of date"
    ready(handing, qtbot)
    assert handing.desk.handing.made.data != before
    assert line.whole() == "As proved now. Unsaved changes are in it."
    handing.desk.document.history.undo()
    ready(handing, qtbot)
    qtbot.waitUntil(lambda: handing.job_bar.state_of("Hand-over") == "report written")
    assert handing.desk.handing.made.data == before


def test_limits_with_a_table_of_two_drives_are_those_of_the_command_line(opened, qtbot, tmp_path):
    window = opened("signal_lantern")
    window.show_step("Hand-over")
    panel, drives = window.sheet.panel.hand_over, window.desk.handing.drives()
    choose(window, qtbot, "limits", ".h")
    without = window.desk.handing.made.data
    for name, drive in zip(("first", "second"), drives, strict=False):
        box = panel.lists[name]
        box.setCurrentIndex(box.findData(drive))
        box.activated.emit(box.currentIndex())
    qtbot.waitUntil(lambda: window.desk.handing.ready and window.desk.handing.asked.table == drives[:2], timeout=MADE_MS)
    assert window.desk.handing.made.data != without
    file = tmp_path / "lantern.bay.json"
    write_project(window.desk.project, file)
    target = tmp_path / "expected.h"
    CliRunner().invoke(limits, [str(file), "-o", str(target), "--table", *drives[:2]], standalone_mode=False, catch_exceptions=False)
    assert window.desk.handing.made.data == target.read_bytes()


def test_an_envelope_grows_by_the_required_gap(handing, qtbot, saved, tmp_path):
    choose(handing, qtbot, "envelope", ".svg")
    plain = handing.desk.handing.made.data
    qtbot.keyClick(handing.sheet.panel.hand_over.grown, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: handing.desk.handing.ready and handing.desk.handing.asked.grow > 0, timeout=MADE_MS)
    grown, target = handing.desk.handing.made.data, tmp_path / "grown.svg"
    assert grown != plain
    gap, (body,) = handing.desk.project.required_gap, handing.desk.handing.group()
    told = [str(saved), "-o", str(target), "--section", handing.desk.handing.section(), "--body", body, "--grow", str(gap)]
    CliRunner().invoke(envelope, told, standalone_mode=False, catch_exceptions=False)
    assert grown == target.read_bytes()


def tick(field, name):
    """Tick or untick a name in the list of a field, by the pointer. The list is not put on the screen, which is none."""
    menu = field.list
    menu.resize(menu.sizeHint())
    place = QPointF(menu.actionGeometry(field.entry(name)).center())
    button, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    QApplication.sendEvent(menu, QMouseEvent(QEvent.Type.MouseButtonRelease, place, place, button, Qt.MouseButton.NoButton, none))


def test_an_envelope_of_a_group_over_one_drive_is_that_of_the_command_line(opened, qtbot, tmp_path):
    window = opened("signal_lantern")
    handing, panel = window.desk.handing, window.sheet.panel.hand_over
    movers = [body.name for body in window.desk.project.sections[0].bodies if not body.fixed]
    group, drive = movers[:2], handing.drives()[0]
    assert len(group) == 2
    assert len(handing.drives()) > 1
    window.desk.choice.pick_bodies(tuple(group))
    window.show_step("Hand-over")
    choose(window, qtbot, "envelope", ".svg")
    assert handing.asked.bodies == tuple(group)
    over_all = handing.made.data
    for name in handing.drives()[1:]:
        tick(panel.running, name)
    qtbot.waitUntil(lambda: handing.ready and handing.asked.drives == (drive,), timeout=MADE_MS)
    assert panel.running.currentText() == drive
    assert handing.made.data != over_all
    file, target = tmp_path / "lantern.bay.json", tmp_path / "expected.svg"
    write_project(window.desk.project, file)
    told = [str(file), "-o", str(target), "--section", handing.section(), "--drive", drive]
    CliRunner().invoke(envelope, [*told, *(word for name in group for word in ("--body", name))], standalone_mode=False)
    assert handing.made.data == target.read_bytes()


def test_bodies_of_an_envelope_are_ticked_and_one_stays_ticked(handing, qtbot):
    choose(handing, qtbot, "envelope", ".svg")
    field, hand_over = handing.sheet.panel.hand_over.bodies, handing.desk.handing
    (first,) = hand_over.group()
    tick(field, first)
    assert field.ticked == (first,)
    other = next(name for name in hand_over.bodies() if name != first)
    tick(field, other)
    qtbot.waitUntil(lambda: hand_over.ready and set(hand_over.asked.bodies) == {first, other}, timeout=MADE_MS)
    assert field.currentText() == " and ".join(field.ticked)
    field.list.setActiveAction(field.entry(first))
    qtbot.keyClick(field.list, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: hand_over.ready and hand_over.asked.bodies == (other,), timeout=MADE_MS)


def test_of_a_pair_in_hand_the_envelope_takes_the_body_that_moves(handing):
    section = handing.desk.project.sections[0]
    handing.desk.choice.pick_pair(section.name, ("rib", "motor"))
    assert handing.desk.handing.group() == ("motor",)
    handing.desk.choice.pick_bodies(())
    assert handing.desk.handing.group() == ("sled",)


def test_the_pages_scroll_by_wheel_and_keys_and_are_enlarged(handing, qtbot):
    pages = handing.sheet.preview.pages
    qtbot.waitUntil(lambda: 0 in pages.shown(), timeout=MADE_MS)
    pages.setFocus()
    bar = pages.verticalScrollBar()
    qtbot.keyClick(pages, Qt.Key.Key_PageDown)
    first = bar.value()
    assert first > 0
    middle = QPointF(pages.viewport().rect().center())
    turn = QWheelEvent(
        middle,
        pages.viewport().mapToGlobal(middle),
        QPoint(),
        QPoint(0, -120),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(pages.viewport(), turn)
    assert bar.value() > first
    qtbot.keyClick(pages, Qt.Key.Key_End)
    last = len(handing.desk.handing.made.sizes) - 1
    qtbot.waitUntil(lambda: last in pages.shown(), timeout=MADE_MS)
    wide = pages.areas()[0].width()
    qtbot.keyClick(pages, Qt.Key.Key_Plus)
    assert pages.areas()[0].width() == pytest.approx(1.25 * wide, abs=1)
    qtbot.mouseClick(handing.sheet.preview.fit, Qt.MouseButton.LeftButton)
    assert pages.areas()[0].width() == wide


def test_the_picture_follows_the_pose_on_the_board(handing, qtbot):
    choose(handing, qtbot, "picture", ".svg")
    before = handing.desk.handing.made.data
    handing.desk.pose.put({"swing": 12.0})
    ready(handing, qtbot)
    assert handing.desk.handing.made.data != before
    assert dict(handing.desk.handing.asked.at)["swing"] == 12.0


def test_the_folder_is_opened_after_writing_and_not_before(handing, qtbot, tmp_path, monkeypatch):
    opened_folders = []
    monkeypatch.setattr(QDesktopServices, "openUrl", lambda url: opened_folders.append(url) or True)
    word = handing.sheet.panel.hand_over.folder
    assert not word.isEnabled()
    written(handing, tmp_path / "report.html")
    qtbot.mouseClick(word, Qt.MouseButton.LeftButton)
    assert opened_folders == [QUrl.fromLocalFile(str(tmp_path))]


@pytest.mark.parametrize("kind", FILES)
def test_every_kind_of_file_is_asked_for_by_an_action_from_any_step(handing, qtbot, kind):
    handing.show_step("Outline")
    handing.actions_by_name[f"make_{kind}"].trigger()
    assert (handing.step, handing.desk.handing.kind) == ("Hand-over", kind)
    ready(handing, qtbot)
    assert handing.sheet.preview.isVisible()


def test_the_actions_that_write_and_open_the_folder_can_be_asked_for_when_their_words_can(handing, qtbot, tmp_path, monkeypatch):
    write, folder = (handing.actions_by_name[name] for name in ("write_file", "open_folder"))
    choose(handing, qtbot, "bench", ".csv")
    assert (write.isEnabled(), folder.isEnabled()) == (True, False)
    write.trigger()
    handing.files.dialog().fileSelected.emit(str(tmp_path / "bench.csv"))
    handing.files.dialog().reject()
    assert (tmp_path / "bench.csv").is_file()
    asked = []
    monkeypatch.setattr(QDesktopServices, "openUrl", lambda url: asked.append(url.toLocalFile()) or True)
    assert folder.isEnabled()
    folder.trigger()
    assert asked == [str(tmp_path)]
    handing.show_step("Gaps")
    assert (write.isEnabled(), folder.isEnabled()) == (False, True)


def test_a_place_that_cannot_be_written_is_told_and_nothing_counts_as_handed_over(handing, tmp_path):
    refused = []
    handing.files.refused.connect(refused.append)
    handing.files.hand_over_file(tmp_path / "none" / "report.html", handing.desk.handing.asked, handing.desk.handing.made)
    assert refused == [f"report.html was not written: {os.strerror(2)}. Choose another place."]
    assert handing.job_bar.state_of("Hand-over") == "nothing handed over yet"


def test_a_word_that_is_no_day_leaves_the_date_as_it_was(handing, qtbot):
    date = handing.sheet.panel.hand_over.date
    date.setText("31 June")
    qtbot.keyClick(date, Qt.Key.Key_Return)
    assert date.text() == DAY
    date.setText("2026-02-01")
    qtbot.keyClick(date, Qt.Key.Key_Return)
    assert handing.desk.handing.options.date == "2026-02-01"


def test_another_step_gives_the_board_its_place_back(handing):
    handing.show_step("Travel")
    assert handing.sheet.board.isVisible()
    assert not handing.sheet.preview.isVisible()


def test_the_file_name_holds_no_letters_that_a_folder_refuses(handing):
    assert handing.desk.handing.file_name() == "Arm -b--1 -A1 report.html"
    assert Path(handing.desk.handing.file_name()).name == handing.desk.handing.file_name()


def test_every_control_has_a_name_and_is_reached_by_the_keys(handing):
    panel, preview = handing.sheet.panel.hand_over, handing.sheet.preview
    controls = [*panel.kinds.values(), *panel.endings.values(), *panel.lists.values(), panel.date, panel.write, panel.folder]
    controls += [preview.pages, preview.text, preview.fit, preview.larger, preview.smaller]
    assert all(control.accessibleName() for control in controls)
    assert panel.grown.text()
    assert all(control.focusPolicy() & Qt.FocusPolicy.TabFocus for control in (*controls, panel.grown))


def test_until_something_is_made_the_preview_says_so(opened, saved, qtbot):
    window = opened(saved)
    head = window.sheet.preview.head
    window.show_step("Hand-over")
    qtbot.waitUntil(lambda: window.desk.handing.made is None and head.whole() == "Arm -b--1 -A1 report.html is being made.")
    ready(window, qtbot)
    assert head.whole().startswith("Arm -b--1 -A1 report.html, shown as its")


def test_of_what_the_answer_rests_on_no_line_is_cut_through(handing, qtbot):
    handing.resize(1100, 700)
    scroll = next(each for each in handing.sheet.panel.hand_over.findChildren(Scroll) if each.isVisible())
    told = scroll.widget()
    line = told.heightForWidth(10_000) // (told.whole().count("\n") + 1)
    bar, edge = scroll.verticalScrollBar(), scroll._edges[1]
    qtbot.waitUntil(lambda: bar.maximum() > 0)
    for value in (0, 1, line // 2, bar.maximum() // 2):
        bar.setValue(value)
        seen = value + scroll.viewport().height() - (edge.height() if edge.isVisible() else 0)
        assert seen % line == 0
        assert edge.height() < line
