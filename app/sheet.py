"""The working sheet: board, depth strip, sentence, interference timeline and side panel in their places, showing what the desk has."""

from collections.abc import Mapping, Sequence
from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction, QGuiApplication, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from app.actions import JOINTS, SHAPES
from app.board.board import Board
from app.board.depth_strip import DepthStrip
from app.board.marks_kept import Marks
from app.board.marks_taker import MarksTaker
from app.document.column import Column
from app.document.desk import Desk
from app.document.mechanism import BodyPoses
from app.document.moving import Moving
from app.document.poses_aside import ghost_poses, travel_ends
from app.document.travel import safe_travels, together_words
from app.drawing.grips import Grips
from app.drawing.in_hand import InHand
from app.drawing.joints_step import JointsStep
from app.drawing.line import ToolLine
from app.drive_map.panel import MapPanel
from app.hand_over.preview import Preview
from app.held_before import HeldBefore
from app.panels import standing
from app.panels.board_tools import HEIGHT, BoardTools
from app.panels.findings_shown import FindingsShown
from app.panels.marks import MarksList
from app.panels.pairs_page import PairsPage
from app.panels.proof_corner import ProofCorner
from app.panels.selected_shown import SelectedShown
from app.panels.sentence import SentenceBar
from app.panels.side_panel import SidePanel
from app.panels.standing import Stand
from app.panels.timeline_shown import timeline_shown
from app.section_drawn import SectionDrawn
from app.shown_in_turns import ShownInTurns
from app.theme import Style
from app.timeline.view import TimelineView
from core.drawing.gap_mark import mark_of
from core.model.names import BodyName, DriveName
from core.model.project import Project
from core.sentences.numbers import degree_sign
from core.sweep.result import SafeBox, Span

SNAP_PIXELS = 8.0
"""Logical pixels about the pointer within which a dragged body snaps."""

SEEN: Final = ("tightest", "travel_ends", "detail", "two_drive_map", "fit", "home", "run", "measure")
TOOLS: Final[Mapping[str, tuple[str, ...]]] = {
    "Outline": (*(f"draw_{kind}" for kind in SHAPES), "cut_hole", "fit", "measure"),
    "Joints": (*JOINTS, "fit", "measure"),
    "Gaps": (*SEEN, "pairs"),
}
"""What stands over the board, by the step of the work; the other steps have what shows more of the section."""
PAIRS: Final = 2
"""The page of all pairs among the pages on the board's place."""
MAP_SHARE, MAP_WIDTHS = 0.46, (300, 400)
"""Share of the board that the two-drive map takes, and its least and largest width in logical pixels."""
LEAST_DETAIL_WIDTH = 780
"""Logical pixels of the board under which detail A is left out."""


class _Drawn(QWidget):
    """Board, tools and strip. `resized` comes when they have their new sizes, which the sheet's own resize event does not wait for."""

    resized = Signal()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.resized.emit()


class Sheet(QWidget):
    """Holds the views and tells each what to show; what the user asks of them goes to the desk. Owns no data of the project."""

    why_asked = Signal()
    unchecked_asked = Signal()
    next_asked = Signal()

    def __init__(self, desk: Desk, style: Style, actions: Mapping[str, QAction], handed: Sequence[tuple[str, str]]) -> None:
        super().__init__()
        self._desk = desk
        self._style = style
        self._step = "Gaps"
        self._boxed: tuple[Project, SafeBox] | None = None
        self._worded = standing.Worded()
        self._ends_key: object = None
        self._in_turns = ShownInTurns(desk, self, self)
        self.show_tightest, self.show_ends, self.show_detail = True, False, True
        self.tools = BoardTools(style, actions, SEEN)
        self.board = Board(style)
        self.in_hand = InHand(self.board, self)
        self.tool_line = ToolLine(style, self.in_hand, self.board)
        self.marks = Marks(desk, self)
        self.marks_list = MarksList(style, self.marks)
        self.grips = Grips(desk, self.in_hand, self)
        self.joints_step = JointsStep(desk, self.board, self)
        self.in_hand.stand_behind((self.grips, self.joints_step.hands, MarksTaker(self.board, self.marks, self.tr)))
        self.strip = DepthStrip(style)
        self.strip.follow(self.board)
        self.map = MapPanel(style, desk)
        self.map.hide()
        self.preview = Preview(style, desk.handing)
        self.pairs = PairsPage(style, desk)
        self.sentence = SentenceBar(style)
        self.corner = ProofCorner(style)
        self.panel = SidePanel(style, actions, handed, desk)
        self.timeline = TimelineView(style)
        self._drawn = SectionDrawn(desk, self.board, self.strip, self.marks, self._poses, self)
        self._selected = SelectedShown(desk, self.panel, self.joints_step, self)
        self.findings = FindingsShown(desk, self.panel, self)
        self.held_before = HeldBefore(desk, (self.board, self.strip, self.sentence, self.timeline), self._show_anew, self)
        self._lay_out()
        self._watch()
        self._listen()

    def _lay_out(self) -> None:
        drawing = QHBoxLayout()
        drawing.setSpacing(0)
        drawing.addWidget(self.board, 1)
        drawing.addWidget(self.map)
        drawing.addWidget(self.strip)
        self._area = _Drawn()
        self._area.resized.connect(self._share_board)
        left = QVBoxLayout(self._area)
        left.setContentsMargins(0, 0, 0, 0)
        left.setSpacing(0)
        self._over = QStackedWidget()
        self._over.setFixedHeight(HEIGHT)
        self._over.addWidget(self.tools)
        self._over.addWidget(self.tool_line)
        left.addWidget(self._over)
        left.addLayout(drawing, 1)
        self._place = QStackedWidget()
        for page in (self._area, self.preview, self.pairs):
            self._place.addWidget(page)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(0)
        grid.setColumnStretch(0, 1)
        grid.setRowStretch(0, 1)
        grid.addWidget(self._place, 0, 0)
        side = QVBoxLayout()
        side.setSpacing(0)
        side.addWidget(self.panel, 1)
        side.addWidget(self.marks_list)
        grid.addLayout(side, 0, 1)
        grid.addWidget(self.sentence, 1, 0)
        grid.addWidget(self.corner, 1, 1)
        grid.addWidget(self.timeline, 2, 0, 1, 2)

    def _watch(self) -> None:
        desk = self._desk
        for drawn in (desk.redrawn, desk.project_shown):
            drawn.connect(self.marks.take_project)
        desk.redrawn.connect(self._drawn.show)
        desk.picked.connect(lambda: self.board.set_selected(desk.choice.bodies))
        desk.choice.section_changed.connect(self.marks.take_section)
        desk.project_shown.connect(self._show_project)
        desk.choice.section_changed.connect(self._take_section)
        desk.choice.section_changed.connect(self.in_hand.put_away)
        self._drawn.another_project.connect(self.in_hand.put_away)
        self._drawn.another_section.connect(self._make_ready)
        self.in_hand.changed.connect(self._show_tool)
        desk.followed.connect(self._in_turns.paint)
        desk.stirred.connect(self._drawn.stir)
        desk.posed.connect(self._show_pose)
        desk.ghosted.connect(self._show_ghost)
        desk.chosen.connect(self._show_choice)
        desk.answered.connect(self.show_answer)
        desk.live.changed.connect(self._show_words)
        for said in (desk.posed, desk.answered, desk.live.changed):
            said.connect(self._in_turns.paint_beside_hand)
        desk.visited.connect(self._show_visit)
        desk.run.changed.connect(self._show_in_hand)
        self.joints_step.moved.connect(self._show_pose)
        desk.pose.settled.connect(self._show_ends)
        desk.prover.progressed.connect(self.corner.show_sweep)
        desk.prover.boxed.connect(self._take_box)
        desk.prover.running_changed.connect(self._show_running)

    def _listen(self) -> None:
        self._moving = Moving(self._desk.document, self._desk.choice, self._desk.handwork, self)
        desk, board, timeline, panel = self._desk, self.board, self.timeline, self.panel
        board.body_picked.connect(self._pick)
        board.bodies_boxed.connect(desk.choice.pick_bodies)
        board.body_added.connect(desk.choice.toggle_body)
        board.body_dragged.connect(self._drag)
        self.strip.body_picked.connect(self._pick)
        self.strip.band_dragged.connect(desk.drag_band)
        timeline.row_picked.connect(desk.pick_row)
        timeline.drive_picked.connect(desk.choice.pick_drive)
        timeline.pose_asked.connect(desk.pose_row)
        timeline.together_asked.connect(desk.pose_together)
        timeline.ghost_asked.connect(lambda asked: desk.show_column(None if asked is None else Column(*asked)))
        timeline.unchecked_asked.connect(self.unchecked_asked)
        panel.bodies.picked.connect(self._pick)
        panel.drives.value_asked.connect(self._put)
        panel.drives.picked.connect(desk.choice.pick_drive)
        panel.drives.run_asked.connect(desk.toggle_run)
        self.sentence.why_asked.connect(self.why_asked)
        self.corner.stop_asked.connect(desk.prover.stop)
        self.corner.next_asked.connect(self.next_asked)

    def stand(self) -> Stand:
        """All that the words of the window are made of."""
        desk = self._desk
        return Stand(
            desk.project,
            desk.linkage,
            desk.answer,
            desk.pose.values,
            desk.prover.running,
            desk.handed_over,
            desk.prover.fault,
            desk.document.findings,
            desk.document.before,
            desk.live.found,
            live_now=desk.live.fresh,
            written=desk.handing.written,
        )

    def show_step(self, step: str) -> None:
        """Offer what a step of the work needs."""
        self._step = step
        self.in_hand.put_away()
        self.tools.show_words(TOOLS.get(step, SEEN))
        self.panel.show_step(step)
        self._place.setCurrentIndex(1 if step == "Hand-over" else 0)
        self._desk.handing.set_on(on=step == "Hand-over")
        self.marks_list.offer(on=step != "Hand-over")
        self.grips.set_on(on=step == "Outline")
        self.joints_step.set_on(on=step == "Joints")
        self._show_basis(self.stand())
        self._show_findings()
        self._show_names()
        self._show_selected()
        self._show_pose()
        self._show_ghost()
        self._show_ends()
        self._make_ready()

    def _make_ready(self) -> None:
        if self._step in ("Outline", "Joints"):
            self._moving.make_ready()

    def set_style(self, style: Style) -> None:
        """Change the theme of the drawing; words are told apart from this."""
        self._style = style
        self._show_selected()
        self._show_timeline()

    def _show_tool(self) -> None:
        self._over.setCurrentWidget(self.tools if self.in_hand.tool is None else self.tool_line)

    def refresh_switches(self) -> None:
        """Show or hide the gap dimension, the ends of travel and detail A."""
        self._share_board()
        self._show_gap()
        self._show_ends()

    def show_pairs(self, *, on: bool, search: bool = False) -> None:
        """Put the page of all pairs on the board's place and the rules in the side panel, or take both away."""
        if not on and self._place.currentWidget() is not self.pairs:
            return
        self.panel.show_step(self._step, rules=on)
        self._show_findings()
        self._place.setCurrentIndex(PAIRS if on else 0)
        if on:
            self.in_hand.put_away()
            self.pairs.open(search=search)
        else:
            self.timeline.setFocus()

    def show_map(self, *, on: bool) -> None:
        """Put the two-drive map beside the section, in detail A's place, or take it away."""
        if on == self._desk.two_drives.on:
            return
        self._desk.two_drives.set_on(on=on)
        self.map.setVisible(on)
        self._share_board()
        (self.map.plot if on else self.timeline).setFocus()

    def _share_board(self) -> None:
        on = self._desk.two_drives.on
        whole = self._area.width() - self.strip.width()
        self.map.setFixedWidth(round(min(max(MAP_SHARE * whole, MAP_WIDTHS[0]), MAP_WIDTHS[1])))
        self.board.set_detail(self.show_detail and not on and whole >= LEAST_DETAIL_WIDTH)

    def _show_project(self) -> None:
        desk = self._desk
        arrives = desk.arriving and self._drawn.of != desk.document.opened
        self._drawn.show()
        if (arrives and self._is_seen()) or (desk.document.in_gesture and not desk.following.brief):
            # A file, or an edit among many bodies: what stands beside its drawing comes in turns of the window by itself.
            self._in_turns.begin(self._show_beside, self._show_choice)
        else:
            self._in_turns.clear()
            self._show_beside()
            self._show_choice()

    def _is_seen(self) -> bool:
        handle = self.window().windowHandle()
        return handle is not None and handle.isExposed()

    def _show_beside(self) -> None:
        desk = self._desk
        self._drawn.show_rest()
        self.panel.drives.show_drives(desk.project.drives if desk.project else ())
        self.panel.drives.show_values(desk.pose.shown)
        self._show_proved()

    def _take_section(self) -> None:
        """Another section is picked."""
        if not self._desk.taking:
            self._drawn.show()
            self._show_names()
            self._show_pose()

    def _show_anew(self) -> None:
        """Show all that the state before the last edit stood in the place of."""
        self._worded.forget()
        self._drawn.show_anew()
        self._show_names()
        self._show_pose()
        self.board.set_selected(self._desk.choice.bodies)
        self._show_words()

    def _show_pose(self) -> None:
        desk = self._desk
        if not self._drawn.is_at_hand:
            return
        self._drawn.show_poses()
        self._show_gap()
        self.panel.drives.show_values(desk.pose.shown)
        self._show_timeline()

    def _poses(self) -> BodyPoses:
        """Where the bodies of the section shown are: as drawn, or where the drives or a wiggle have them."""
        section = self._drawn.section
        if (poses := self.joints_step.poses()) is not None:
            return poses
        if self._as_drawn and section is not None:
            return {body.name: (0.0, 0.0, 0.0) for body in section.bodies}
        return self._desk.body_poses()

    @property
    def _as_drawn(self) -> bool:
        """Whether bodies stand as drawn, whatever the drives: in Outline and Joints, where a hand changes the drawing itself."""
        return self._step == "Outline" or self.joints_step.as_drawn

    def _show_gap(self) -> None:
        elsewhere = self._as_drawn and (self.joints_step.wiggle.going or not self._desk.at_drawn_pose)
        gap = self._desk.gap if self.show_tightest and not elsewhere else None
        if gap is None:
            self.board.set_gap(None)
            return
        self.board.set_gap(mark_of(gap))

    def _show_ghost(self) -> None:
        self.board.set_ghost(None if self._as_drawn else ghost_poses(self._desk))
        self._show_timeline()

    def _show_ends(self) -> None:
        """Ends of travel depend on where the other drives are, so they are drawn anew only when one of those has moved."""
        desk = self._desk
        if desk.stirring:
            return  # of a drive that has just come to hand they follow with all else
        wanted = (self.show_ends or self._step == "Travel") and not self._as_drawn and self._drawn.is_at_hand
        others = tuple(item for item in desk.pose.shown.items() if item[0] != desk.choice.drive)
        key = (wanted, desk.project, desk.choice.section, desk.choice.drive, others)
        if key != self._ends_key:
            self._ends_key = key
            self.board.set_travel_ends(travel_ends(desk) if wanted else None)

    def _show_choice(self) -> None:
        self.board.set_selected(self._desk.choice.bodies)
        self.strip.set_selected(self._desk.choice.bodies)
        self._show_gap()
        self._show_ends()
        self._show_selected()
        self._show_names()
        self._show_in_hand()
        self._show_words()
        self._show_timeline()

    def _show_in_hand(self) -> None:
        running = self._desk.run.drive
        self.panel.drives.show_in_hand(self._desk.choice.drive, running=running.name if running else None)

    def show_answer(self) -> None:
        """Show what is proved so far."""
        self._show_proved()
        self._show_words()
        self._show_selected()
        self._show_timeline()

    def _show_proved(self) -> None:
        stand = self.stand()
        self._show_safe(stand)
        self._show_basis(stand)
        self._show_findings()

    def _show_basis(self, stand: Stand) -> None:
        """What the answer rests on: some sentences, which are made where they are read."""
        if self._step == "Hand-over":
            self.panel.hand_over.say(standing.rests_on(stand, self.tr))

    def _show_findings(self) -> None:
        self.findings.show(self.stand())
        self._show_visit()

    def _take_box(self, project: Project, box: SafeBox | None) -> None:
        """The joint safe box is found some time after the rest is proved."""
        self._boxed = None if box is None else (project, box)
        self._show_safe(self.stand())

    def _show_safe(self, stand: Stand) -> None:
        """Safe travel on the lines of the drives: each by itself, and all together once that is known of this project."""
        project, result = self._desk.project, self._desk.result
        alone = safe_travels(result)
        self.panel.drives.show_safe(alone)
        drives = self.tr("thick: safe travel, others at home") if result and project and project.drives else ""
        together: dict[DriveName, Span] = {}
        words: dict[DriveName, str] = {}
        if self._boxed is not None and project is not None and self._boxed[0] is project:
            box = self._boxed[1]
            together = {name: (low, high) for name, low, high in box.travels}
            words = together_words(project, box, alone, degree_sign(self.tr))
            drives = self.tr("safe travel: thick solo, below together") if together else drives
        self.panel.drives.show_together(together, words)
        self.panel.show_notes(findings=standing.findings_note(stand, self.tr), drives=drives)

    def _show_words(self) -> None:
        stand = self.stand()
        place = self._desk.row if not self._desk.outdated else None
        row = self._desk.timeline.rows[place] if place is not None else None
        if not self._worded.changed(stand, row):
            return
        self.sentence.say(*standing.sentence(stand, row, self.tr))
        covered, work, tone = standing.covered(stand, self.tr)
        self.corner.say(covered, work, tone=tone)

    def _show_visit(self) -> None:
        visit, visits = self._desk.visit, self._desk.visits()
        row = self._desk.row
        if visit is None and row is not None:
            visit = next((one for one in visits if one.row is self._desk.timeline.rows[row]), None)
        self.panel.findings.show_visit(visit.place - 1 if visit else None)
        place = self.tr("{place} of {count}").format(place=visit.place if visit else "\N{EN DASH}", count=len(visits))
        self.corner.show_place(place if visits else "")

    def _show_running(self) -> None:
        self.corner.show_sweep(self._desk.prover.share if self._desk.prover.running else None)
        self._show_words()

    def _show_names(self) -> None:
        if self._desk.project is not None and self._step == "Outline":
            self._selected.show_list(self._drawn.section)

    def _show_selected(self) -> None:
        self._selected.show(self._drawn.section, self._style, full=self._step == "Outline")

    def _show_timeline(self) -> None:
        size = (self.timeline.width(), self.timeline.height())
        self.timeline.show_state(timeline_shown(self._desk, self._style, size, self.tr))

    def _pick(self, body: str) -> None:
        """A body by its name, or nothing where it is empty."""
        self._desk.choice.pick_bodies((BodyName(body),) if body else ())

    def _drag(self, body: str, x: float, y: float, phase: str) -> None:
        if self._step in ("Travel", "Gaps"):
            self._desk.drag(BodyName(body), x, y, phase)
        elif self._step == "Outline":
            free = bool(QGuiApplication.keyboardModifiers() & Qt.KeyboardModifier.ControlModifier)
            within = 0.0 if free else SNAP_PIXELS / self.board.viewportTransform().m11()
            self._moving.drag(BodyName(body), (x, y), phase, within=within)

    def _put(self, drive: str, value: float) -> None:
        self._desk.run.stop()
        self._desk.choice.pick_drive(DriveName(drive))
        self._desk.pose.put({DriveName(drive): value})
