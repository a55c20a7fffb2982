"""The window: job bar over the working sheet or the start sheet, with every action of the table and the system's theme."""

import gc
import signal
import sys
from collections.abc import Callable, Mapping
from pathlib import Path

from PySide6.QtCore import QEvent, QPoint, QTimer
from PySide6.QtGui import QAction, QCloseEvent, QGuiApplication, QKeyEvent
from PySide6.QtWidgets import QApplication, QMainWindow, QMenu, QStackedWidget, QToolTip, QVBoxLayout, QWidget

from app import theme
from app.actions import BY_NAME, STEPS, make_actions
from app.cards import Cards
from app.collected_seldom import WHILE_OPEN
from app.command_line import sample_files
from app.document.desk import Desk
from app.document.driving import drivable
from app.document.own_stores import OwnStores
from app.document.pose_at_hand import EASE_MS
from app.drawing.handlers import drawing_handlers
from app.drawing.measuring_handlers import measuring_handlers
from app.files import Files, samples
from app.hand_actions import hand_handlers
from app.hand_over.handlers import hand_over_handlers
from app.palette import palette_of, system_keeps_motion_down, system_style
from app.panels import reasons, standing
from app.panels.finder import Finder
from app.panels.job_bar import JobBar
from app.panels.slip import Slip
from app.panels.start import StartSheet
from app.panels.words import as_entry, restyle
from app.settings import settings_file, state_folder, stores_file
from app.sheet import Sheet
from app.stores_work import StoresWork
from app.theme import Style
from core.model.names import SectionName

SIZE, LEAST_SIZE = (1280, 800), (1100, 700)
"""Logical pixels."""

FILE_MENU = ("new", "open", "samples", "recent", "", "save", "save_as", "close", "", "reduced_motion", "quit")
MEASURES = ("measure_distance", "measure_angle", "measure_radius", "measure_gap", "clear_marks")
SWITCH_INTERVAL = 0.001
"""Seconds after which the sweep's thread lets the window's have its turn."""

Handler = Callable[[], object]


class Window(QMainWindow):
    """Joins the desk, the files, the actions and the views."""

    def __init__(self, settings: Path, style: Style, *, state: Path | None = None, stores: Path | None = None) -> None:
        """`settings`: their file. `state`: the folder for unsaved work, `stores`: the user's own; None: beside the settings."""
        super().__init__()
        self.desk = Desk(self)
        self._style = style
        self.files = Files(self.desk, self, settings, state=state or settings.parent / "aside", style=lambda: self._style)
        self.cards = Cards(self.desk, self, lambda: self._style)
        self.stores = StoresWork(
            self.desk, self.cards, OwnStores(stores or settings.parent / "stores.json"), self.files.refused.emit, self._tell_stores
        )
        self._ending = False
        self.step = "Gaps"
        self.actions_by_name = make_actions(self, self._handlers(), self.tr)
        self.addActions(list(self.actions_by_name.values()))
        self._samples = sample_files()
        self.job_bar = JobBar(style, [(name, str(number)) for number, name in enumerate(STEPS, start=1)])
        self.sheet = Sheet(self.desk, style, self.actions_by_name, self._handed())
        self.start = StartSheet(style, samples(self._samples))
        self.finder = Finder(style, self.actions_by_name, self)
        self.slip = Slip(style, self)
        self.menu: QMenu | None = None
        self._opened = (False, -1)
        self._build()
        self._watch()
        self.set_style(style)
        self.keep_motion()
        self._show_switches()
        self.show_step("Gaps")
        self._show_project()

    def _build(self) -> None:
        self.setMinimumSize(*LEAST_SIZE)
        self.resize(*SIZE)
        self.pages = QStackedWidget()
        self.pages.addWidget(self.start)
        self.pages.addWidget(self.sheet)
        centre = QWidget()
        column = QVBoxLayout(centre)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.job_bar)
        column.addWidget(self.pages, 1)
        self.setCentralWidget(centre)

    def _watch(self) -> None:
        desk, document = self.desk, self.desk.document
        desk.project_shown.connect(self._show_project)
        document.file_changed.connect(self._show_head)
        desk.choice.section_changed.connect(self._show_head)
        document.history.indexChanged.connect(self._show_head)
        document.history.indexChanged.connect(self._enable)
        desk.posed.connect(self._show_states)
        for signal_of in (desk.answered, desk.chosen, desk.visited, desk.prover.running_changed):
            signal_of.connect(self._show_states)
            signal_of.connect(self._enable)
        self.sheet.in_hand.changed.connect(self._enable)
        self.sheet.marks.kept_changed.connect(self._enable)
        self.job_bar.step_chosen.connect(self.show_step)
        self.job_bar.section_chosen.connect(lambda name: desk.choice.pick_section(SectionName(name)))
        self.job_bar.undo_asked.connect(document.history.undo)
        self.job_bar.finder_asked.connect(self._find)
        self.job_bar.file_menu_asked.connect(self._offer_files)
        self.finder.chosen.connect(lambda name: self.actions_by_name[name].trigger())
        self.sheet.why_asked.connect(self._tell_why)
        self.sheet.unchecked_asked.connect(self._tell_unchecked)
        self.sheet.panel.hand_over.write_asked.connect(self.files.ask_hand_over_file)
        self.sheet.panel.hand_over.folder_asked.connect(self.files.open_folder)
        desk.handing.written_changed.connect(self._show_states)
        desk.handing.changed.connect(self._enable_files)
        self.sheet.findings.step_asked.connect(self._go_to_mend)
        self.sheet.pairs.close_asked.connect(lambda: self._show_pairs(on=False))
        self.sheet.next_asked.connect(lambda: desk.next_breach(1))
        self.start.open_asked.connect(self.files.ask_open)
        self.start.sample_asked.connect(self.open_sample)
        self.start.new_asked.connect(self.files.new)
        self.start.file_asked.connect(lambda file: self.files.open(Path(file)))
        self.files.refused.connect(self._tell_refusal)
        self.files.settings_changed.connect(self._show_recent)
        QGuiApplication.styleHints().colorSchemeChanged.connect(self._follow_system)

    def _handlers(self) -> Mapping[str, Handler]:
        desk, files = self.desk, self.files
        steps = {f"step_{name.lower().replace('-', '_')}": self._step_handler(name) for name in STEPS}
        return {
            **steps,
            **self._sheet_handlers(),
            **measuring_handlers(desk, lambda: self.sheet.in_hand, lambda: self.sheet.marks, self.show_step),
            **drawing_handlers(desk, lambda: self.sheet.in_hand, self.show_step),
            **hand_handlers(desk, self.cards, self.files, self.stores),
            **hand_over_handlers(desk, files, self.show_step),
            "open": files.ask_open,
            "samples": self._offer_samples,
            "measure": lambda: self._offer(self.sheet.tools.place_of("measure"), [self.actions_by_name[name] for name in MEASURES]),
            "recent": self._offer_recent,
            "save": files.save,
            "save_as": files.ask_save_as,
            "close": lambda: files.keeping.leave(desk.document.close),
            "quit": self.close,
            "undo": desk.document.history.undo,
            "redo": desk.document.history.redo,
            "find": self._find,
            "next_section": lambda: desk.sections.show(1),
            "previous_section": lambda: desk.sections.show(-1),
            "rename_section": self._rename_section,
            "home": lambda: desk.pose.go(desk.pose.home()),
            "run": self._run,
            "previous_drive": lambda: desk.step_drive(-1),
            "next_drive": lambda: desk.step_drive(1),
            "next_breach": lambda: desk.next_breach(1),
            "previous_breach": lambda: desk.next_breach(-1),
            "give_back": self._leave,
            "sweep": desk.sweep,
            "stop": desk.prover.stop,
            "why": self._tell_why,
            "unchecked": self._tell_unchecked,
        }

    def _sheet_handlers(self) -> Mapping[str, Handler]:
        """What is done by the sheet, which is built after the actions."""
        keys: dict[str, Handler] = {
            "row_up": lambda: self.sheet.timeline.step_row(-1),
            "row_down": lambda: self.sheet.timeline.step_row(1),
            "column_left": lambda: self.sheet.timeline.step_column(-1),
            "column_right": lambda: self.sheet.timeline.step_column(1),
            "column_fine_left": lambda: self.sheet.timeline.step_column(-0.1),
            "column_fine_right": lambda: self.sheet.timeline.step_column(0.1),
            "edge_left": lambda: self.sheet.timeline.step_edge(-1),
            "edge_right": lambda: self.sheet.timeline.step_edge(1),
            "pose": self._pose_column,
            "fit": self._fit,
            "before": self._show_before,
            "two_drive_map": self._take_map,
            "pairs": lambda: self._show_pairs(on=self.actions_by_name["pairs"].isChecked()),
            "find_pair": lambda: self._show_pairs(on=True, search=True),
        }
        switches = dict.fromkeys(("tightest", "travel_ends", "detail"), self._take_switches)
        return {**keys, **switches, "reduced_motion": self._take_motion}

    def _step_handler(self, name: str) -> Handler:
        return lambda: self.show_step(name)

    def _handed(self) -> list[tuple[str, str]]:
        return [
            ("hand_over_text", self.tr("Verdict, every pair with its lowest gap, breaches, what was not checked and why.")),
            ("hand_over_json", self.tr("The same for programs: all checks with their proofs and drive values.")),
        ]

    def open_sample(self, name: str) -> bool:
        """Open a sample by its name."""
        return self.files.open_sample(self._samples[name])

    def show_step(self, name: str) -> None:
        """Go to a step of the work; the two-drive map belongs to *Gaps*."""
        self.step = name
        if name != "Gaps":
            self._show_map(on=False)
        self._show_pairs(on=False)
        self.job_bar.show_step(name)
        self.sheet.show_step(name)
        self._enable_files()

    def set_style(self, style: Style) -> None:
        """Change the theme of everything."""
        self._style = style
        palette = palette_of(style)
        QToolTip.setPalette(palette)
        for window in (self, self.finder, self.slip, self.menu):
            if window is not None:
                window.setPalette(palette)
        restyle(self, style)

    def keep_motion(self) -> None:
        """Ease poses, or not, as the user or the system asks."""
        wish = self.files.settings.reduced_motion
        down = system_keeps_motion_down() if wish is None else wish
        self.desk.pose.ease_ms = 0 if down else EASE_MS
        self.actions_by_name["reduced_motion"].setChecked(down)

    def event(self, event: QEvent) -> bool:
        done = super().event(event)
        if event.type() in (QEvent.Type.ApplicationPaletteChange, QEvent.Type.ThemeChange):
            self._follow_system()
        return done

    def end(self) -> None:
        """Close without asking: unsaved changes go."""
        self._ending = True
        self.close()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if not self.sheet.held_before.take_key(event):
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        if not self.sheet.held_before.take_key(event):
            super().keyReleaseEvent(event)

    def closeEvent(self, event: QCloseEvent) -> None:
        if self.desk.document.has_unsaved_changes and not self._ending:
            event.ignore()
            self.files.keeping.leave(self.end)
            return
        self.files.keeping.end()
        self.desk.end()
        super().closeEvent(event)

    def _follow_system(self) -> None:
        style = system_style(QGuiApplication.palette())
        if style is not self._style:
            self.set_style(style)

    def _take_switches(self) -> None:
        actions, sheet = self.actions_by_name, self.sheet
        sheet.show_tightest = actions["tightest"].isChecked()
        sheet.show_ends = actions["travel_ends"].isChecked()
        sheet.show_detail = actions["detail"].isChecked()
        sheet.refresh_switches()

    def _show_switches(self) -> None:
        sheet = self.sheet
        for name, on in (("tightest", sheet.show_tightest), ("travel_ends", sheet.show_ends), ("detail", sheet.show_detail)):
            self.actions_by_name[name].setChecked(on)
        sheet.refresh_switches()

    def _take_map(self) -> None:
        on = self.actions_by_name["two_drive_map"].isChecked()
        if on:
            self.show_step("Gaps")
        self._show_map(on=on)

    def _show_map(self, *, on: bool) -> None:
        self.actions_by_name["two_drive_map"].setChecked(on)
        self.sheet.show_map(on=on)
        self._enable()

    def _show_pairs(self, *, on: bool, search: bool = False) -> None:
        if on and self.step != "Gaps":
            self.show_step("Gaps")
        self.actions_by_name["pairs"].setChecked(on)
        self.sheet.show_pairs(on=on, search=search)
        self._enable()

    def _leave(self) -> None:
        if self.sheet.in_hand.tool is not None:
            self.sheet.in_hand.put_away()
        elif self.actions_by_name["pairs"].isChecked():
            self._show_pairs(on=False)
        elif self.desk.two_drives.on:
            self._show_map(on=False)
        else:
            self.desk.leave()

    def _take_motion(self) -> None:
        self.files.keep_motion_down(down=self.actions_by_name["reduced_motion"].isChecked())
        self.keep_motion()

    def _run(self) -> None:
        if self.desk.choice.drive is not None:
            self.desk.toggle_run(self.desk.choice.drive)

    def _show_project(self) -> None:
        there = self.desk.project is not None
        if not self._conditions()["two_drives"]:
            self._show_map(on=False)
        self.pages.setCurrentWidget(self.sheet if there else self.start)
        self.job_bar.show_open(there=there)
        if self._opened != (there, self.desk.document.opened):
            # Another project: an edit of the same one leaves the keyboard where it is.
            self._opened = (there, self.desk.document.opened)
            (self.sheet.timeline if there else self.start.first()).setFocus()
        if not there:
            self._show_recent()
        self._show_head()
        self._show_states()
        self._enable()

    def _show_recent(self) -> None:
        self.start.show_recent(self.files.settings.recent)

    def _show_head(self) -> None:
        project, document = self.desk.project, self.desk.document
        name = project.name if project else self.tr("Baysweep")
        sections = [section.name for section in project.sections] if project else []
        self.job_bar.show_project(name, sections=sections, section=self.desk.choice.section or "", unsaved=document.has_unsaved_changes)
        self.job_bar.show_undo(document.history.undoText() if document.history.canUndo() else "")
        self.setWindowTitle(f"{name} \N{EN DASH} Baysweep" if project else "Baysweep")

    def _show_states(self) -> None:
        self.job_bar.show_states(standing.states(self.sheet.stand(), self.tr))

    def _enable(self) -> None:
        """Offer the actions that can be asked for as things stand."""
        holds = self._conditions()
        for name, action in self.actions_by_name.items():
            action.setEnabled(holds[BY_NAME[name].when])

    def _conditions(self) -> dict[str, bool]:
        desk = self.desk
        project, result, history = desk.project, desk.result, desk.document.history
        return {
            "always": True,
            "project": project is not None,
            "drive": project is not None and bool(project.drives),
            "pair": desk.row is not None,
            "breach": bool(desk.timeline.breaches),
            "two_drives": project is not None and len(project.drives) > 1,
            "sections": len(desk.sections.names()) > 1,
            "no_map": project is not None and not desk.two_drives.on,
            "visit": desk.pose.own is not None
            or desk.two_drives.on
            or self.actions_by_name["pairs"].isChecked()
            or self.sheet.in_hand.tool is not None,
            "before": desk.document.before is not None,
            "undo": history.canUndo(),
            "redo": history.canRedo(),
            "sweep": desk.prover.running,
            "result": result is not None,
            "unchecked": result is not None and bool(result.unchecked),
            "bodies": bool(desk.handwork.picked),
            "marks": self.sheet.marks.any,
            "in_hand": bool(desk.handwork.picked) or desk.choice.joint is not None,
            "free_joint": drivable(desk) is not None,
            **self._file_conditions(),
        }

    def _file_conditions(self) -> dict[str, bool]:
        handing = self.desk.handing
        return {"file": handing.on and handing.ready, "folder": handing.folder is not None}

    def _enable_files(self) -> None:
        holds = self._file_conditions()
        for name in ("write_file", "open_folder"):
            self.actions_by_name[name].setEnabled(holds[BY_NAME[name].when])

    def _pose_column(self) -> None:
        self.sheet.timeline.pose_column()

    def _show_before(self) -> None:
        self.sheet.held_before.show_a_while()

    def _fit(self) -> None:
        self.sheet.board.fit()

    def _go_to_mend(self, where: str) -> None:
        if where == "rules":
            self._show_pairs(on=True)
        else:
            self.show_step(where)

    def _rename_section(self) -> None:
        self.show_step("Outline")
        self.sheet.panel.sections.begin_rename()

    def _find(self) -> None:
        self.finder.open_over(self)

    def _offer(self, place: QPoint, entries: list[tuple[str, Handler] | QAction | None]) -> None:
        """Open a menu of words at a place on the screen."""
        if self.menu is not None:
            self.menu.deleteLater()
        self.menu = QMenu(self)
        self.menu.setPalette(palette_of(self._style))
        self.menu.setFont(theme.font(theme.TEXT))
        for entry in entries:
            if entry is None:
                self.menu.addSeparator()
            elif isinstance(entry, QAction):
                self.menu.addAction(entry)
            else:
                text, handler = entry
                self.menu.addAction(as_entry(text)).triggered.connect(lambda _on=False, handler=handler: handler())
        self.menu.popup(place)

    def _offer_files(self) -> None:
        self._offer(self.job_bar.file_place(), [self.actions_by_name[name] if name else None for name in FILE_MENU])

    def _offer_samples(self) -> None:
        self._offer(self.job_bar.file_place(), [(name, self._sample_handler(key)) for key, name, _ in samples(self._samples)])

    def _sample_handler(self, name: str) -> Handler:
        return lambda: self.files.leave_for(self._samples[name], sample=True)

    def _offer_recent(self) -> None:
        there = [Path(file) for file in self.files.settings.recent if Path(file).is_file()]
        nothing: tuple[str, Handler] = (self.tr("No project was opened before"), self.files.ask_open)
        self._offer(self.job_bar.file_place(), [(file.name, self._file_handler(file)) for file in there] or [nothing])

    def _file_handler(self, file: Path) -> Handler:
        return lambda: self.files.leave_for(file)

    def _tell_why(self) -> None:
        desk = self.desk
        if desk.result is not None and desk.project is not None:
            row = desk.timeline.rows[desk.row] if desk.row is not None else None
            missing = self.sheet.panel.pair.stand() if row is None else None
            self.slip.tell(self.tr("Why"), reasons.why_sentences(desk.result, row, desk.project, self.tr, missing=missing), self)

    def _tell_unchecked(self) -> None:
        if self.desk.result is not None:
            self.slip.tell(self.tr("Not checked, and why"), reasons.unchecked_sentences(self.desk.result, self.tr), self)

    def _tell_stores(self, sentence: str) -> None:
        self.slip.tell(self.tr("Stores"), [sentence], self)

    def _tell_refusal(self, sentence: str) -> None:
        self.slip.tell(self.tr("That did not work"), [sentence], self)


def make_application() -> QApplication:
    """The one QApplication, in the program's own font; the one that is there already is taken over."""
    there = QApplication.instance()
    app = there if isinstance(there, QApplication) else QApplication(sys.argv[:1])
    app.setApplicationName("Baysweep")
    app.setStyle("Fusion")
    theme.load_fonts()
    app.setFont(theme.font())
    return app


def open_window(path: Path | None) -> int:
    """Open the window on a project, or on the samples, and stay until it is closed; the answer is the exit code."""
    app = make_application()
    sys.setswitchinterval(SWITCH_INTERVAL)
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    window = Window(settings_file(), system_style(QGuiApplication.palette()), state=state_folder(), stores=stores_file())
    window.show()
    # What is there by now stays: looking through it for what may be let go takes longer than a frame.
    gc.freeze()
    gc.set_threshold(*WHILE_OPEN)
    if path is None:
        QTimer.singleShot(0, window.files.keeping.offer_left_behind)
    else:
        window.files.open(path)
    return app.exec()
