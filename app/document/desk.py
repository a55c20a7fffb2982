"""The desk: document, pose, choice, run and sweep joined, so that a view only says what was asked and shows what is."""

import time
from collections.abc import Mapping
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from app.document.adjusting import Adjusting
from app.document.answer import Answer, RowsLeft, Visit, visits
from app.document.behind_hand import BehindHand
from app.document.choice import Choice, section_named
from app.document.column import Column
from app.document.document import Document
from app.document.following import Following
from app.document.hand import Hand
from app.document.handing import Handing
from app.document.handwork import Handwork
from app.document.live import Live
from app.document.mechanism import BodyPoses, Mechanism
from app.document.mobility_known import MobilityKnown
from app.document.pose_at_hand import PoseAtHand
from app.document.run import Run
from app.document.section_work import SectionWork
from app.document.turns import Turns
from app.document.two_drives import TwoDrives
from app.jobs.prover import Prover
from core.drawing.drawable import drawable
from core.model.names import BodyName, DriveName
from core.model.project import Drive, Project
from core.motion.linkage import Linkage
from core.sweep.at_pose import PoseGap, PoseGaps
from core.sweep.result import SweepResult
from core.sweep.timeline import Row, Timeline


class Desk(QObject):
    """What the window works with. Signals tell which part of it to look at again."""

    redrawn = Signal()
    """An edit goes on and the drawing is another; `project_shown` follows, for all else."""
    project_shown = Signal()
    picked = Signal()
    """Something else is picked while an edit goes on, by the hand that edits it; `project_shown` follows, for all but the drawing."""
    followed = Signal(float)
    """All that is said of an edit that goes on, or of a pose in hand, has followed it just now; seconds that it took."""
    stirred = Signal()
    """A hand drags bodies along a drive: they go with it, and `posed` follows for all that is said of the pose."""
    posed = Signal()
    ghosted = Signal()
    chosen = Signal()
    answered = Signal()
    visited = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.document = Document(self)
        self.pose = PoseAtHand(self)
        self.choice = Choice(self)
        self.run = Run(self.pose, self)
        self._hand = Hand(self.choice, self.pose)
        self.handwork = Handwork(self.document, self.choice, self)
        self.sections = SectionWork(self.document, self.choice, self)
        self.prover = Prover(self, holds=lambda: self._turns.busy or self._hand.at_work)
        self.document.rows = self.prover.rows
        self.live = Live(self.document, self)
        self.adjusting = Adjusting(self.document, self)
        self.two_drives = TwoDrives(self.document, self.choice, self.pose, self.run, self)
        self.handing = Handing(self.document, self.pose, self.choice, self)
        self.mechanism: Mechanism | None = None
        self.mobility = MobilityKnown()
        self.column: Column | None = None
        self.handed_over: SweepResult | None = None
        self._visit: int | None = None
        self._unpicked = False
        self.taking = False
        """Whether a project is being taken at hand: all that changes is shown with it, once."""
        self._gap: PoseGap | None = None
        self._rows_left = RowsLeft()
        self._turns = Turns(self)
        self._drawable: tuple[Project, Project] | None = None
        self.following, self._behind_hand = Following(self), BehindHand(self)
        self.following.due.connect(self._follow_up)
        self._behind_hand.due.connect(self._catch_up)
        self.document.project_changed.connect(self._take_project)
        self.document.answer_changed.connect(self._take_answer)
        self.prover.prepared.connect(self._take_gaps)
        self.prover.followed.connect(self.live.take)
        self.prover.profiled.connect(self.document.take_profiles)
        self.prover.proved.connect(self.document.take_result)
        # Its process starts once all is shown and at rest: starting takes a core.
        self.prover.boxed.connect(self._warm_map)
        self.prover.failed.connect(self.answered)
        self.pose.moved.connect(self._take_pose)
        self.pose.ghosted.connect(self.ghosted)
        self.pose.visiting_changed.connect(self._take_visiting)
        self.choice.changed.connect(self._take_choice)

    @property
    def settling(self) -> bool:
        """Whether the answer has arrived and its first breach is still to be shown."""
        return self._turns.busy

    @property
    def arriving(self) -> bool:
        """Whether a file has been opened of which no answer has been picked yet."""
        return self._unpicked

    @property
    def stirring(self) -> bool:
        """Whether a hand drags bodies along a drive, and what is said of the pose is still to follow."""
        return self._behind_hand.pending

    @property
    def project(self) -> Project | None:
        """The project at hand."""
        return self.document.project

    @property
    def linkage(self) -> Linkage | None:
        """Its mechanism; None with faults in the project."""
        return self.mechanism.linkage if self.mechanism else None

    @property
    def answer(self) -> Answer | None:
        """What is known of its gaps."""
        return self.document.answer

    @property
    def timeline(self) -> Timeline:
        """The rows of the interference timeline; those of the state before an edit while there are no others, see `outdated`."""
        before = self.document.before
        if self.outdated and before is not None and self.project is not None:
            return self._rows_left.of(before, self.project)
        return self.answer.timeline if self.answer else Timeline()

    @property
    def outdated(self) -> bool:
        """Whether the rows are of the state before the edit that goes on or has just ended."""
        answer = self.answer  # of a project without drives nothing is sampled
        return answer is not None and not answer.profiles and answer.result is None and self.document.before is not None

    @property
    def result(self) -> SweepResult | None:
        """What is proved, once it is."""
        return self.answer.result if self.answer else None

    def visits(self) -> tuple[Visit, ...]:
        """The breaches by depth."""
        return visits(self.answer)

    @property
    def visit(self) -> Visit | None:
        """The breach that is looked at."""
        found = self.visits()
        return found[self._visit] if self._visit is not None and self._visit < len(found) else None

    @property
    def row(self) -> int | None:
        """The place of the pair in hand among the rows."""
        pair, section = self.choice.pair, self.choice.section
        return self.timeline.row_of(section, pair) if pair and section is not None else None

    @property
    def gap(self) -> PoseGap | None:
        """The gap at the pose shown: of the pair in hand, otherwise the tightest of the section shown."""
        return self._gap

    def drive(self, name: DriveName | None) -> Drive | None:
        """The drive called `name`."""
        return next((drive for drive in self.project.drives if drive.name == name), None) if self.project else None

    def open(self, file: Path, *, as_sample: bool = False) -> None:
        """Read a file and sweep it. Raises ProjectFileError, and then what was open stays."""
        before = dict(self.pose.values)
        self._let_go_of_all(unpicked=True)
        try:
            self.document.open(file, as_sample=as_sample)
        except BaseException:
            self.pose.values = before
            raise

    def begin(self, project: Project) -> None:
        """Take a new project at hand, without a file."""
        self._let_go_of_all(unpicked=False)
        self.document.show(project)

    def _let_go_of_all(self, *, unpicked: bool) -> None:
        """Another project comes."""
        self.run.stop()
        self._behind_hand.take()
        self.pose.forget()
        self.choice.pair = None
        self.choice.bodies = ()
        self._unpicked = unpicked

    def sweep(self) -> None:
        """Sweep the project at hand once more."""
        if self.project is not None:
            self._prove(self.project)

    def toggle_run(self, name: DriveName) -> None:
        """Run a drive through its travel, or stop it where it runs already."""
        running = self.run.drive
        self.run.stop()
        drive = self.drive(name)
        if drive is not None and (running is None or running.name != name):
            self.choice.pick_drive(name)
            self.run.start(drive)

    def step_drive(self, by: int) -> None:
        """Take the next drive in hand, or the one before, round and round."""
        names = [drive.name for drive in self.project.drives] if self.project else []
        if names:
            here = names.index(self.choice.drive) if self.choice.drive in names else 0
            self.choice.pick_drive(names[(here + by) % len(names)])

    def hand_over(self, result: SweepResult) -> None:
        """Remember what has left the program, so that it can be told when it is out of date."""
        self.handed_over = result
        self.handing.forget_written()
        self.answered.emit()

    def end(self) -> None:
        """End what runs, before the window goes."""
        self.following.drop()
        self._behind_hand.take()
        self.run.stop()
        self.prover.end()
        self.two_drives.end()
        self.handing.end()

    def drawn(self) -> Project | None:
        """The project as it can be drawn: with faults, as far as that goes."""
        project = self.project
        if project is None or self.document.draws_whole:
            return project
        if self._drawable is None or self._drawable[0] is not project:
            self._drawable = (project, drawable(project, self.document.findings))
        return self._drawable[1]

    @property
    def at_drawn_pose(self) -> bool:
        """Whether every drive shown stands where the project was drawn."""
        drives = self.project.drives if self.project else ()
        return all(self.pose.shown.get(drive.name) == drive.drawn_value for drive in drives)

    def body_poses(self, at: Mapping[DriveName, float] | None = None) -> BodyPoses:
        """Where the bodies of the section shown are; at the pose on the board unless `at` says otherwise.

        With faults in the project nothing moves: all is as drawn.
        """
        section = section_named(self.project, self.choice.section)
        if section is None or self.choice.section is None:
            return {}
        if self.mechanism is None:
            return {body.name: (0.0, 0.0, 0.0) for body in section.bodies}
        return self.mechanism.body_poses(self.choice.section, self.pose.shown if at is None else at)

    def visit_breach(self, place: int) -> None:
        """Look at a breach by its place among all; the user's own pose is kept for `leave`."""
        visit = self.visits()[place]
        self.run.stop()
        self._visit = place
        self._take_in_hand(visit.row, visit.check.at, visit.check.drives)
        self.pose.visit({**self.pose.home(), **dict(visit.check.at)})
        self.visited.emit()

    def next_breach(self, by: int) -> None:
        """Look at the next breach by depth, or the one before, round and round."""
        count = len(self.visits())
        if count:
            first = 0 if by > 0 else count - 1
            self.visit_breach(first if self._visit is None else (self._visit + by) % count)

    def leave(self) -> None:
        """Leave what is visited and give the user's own pose back."""
        if not self.pose.give_back():
            self._set_visit(None)

    def pose_row(self, row: int, drive: DriveName, value: float) -> None:
        """Look at a column of a row: one drive at a value, the others at home."""
        self.run.stop()
        found = self.timeline.rows[row]
        self.choice.pick_pair(found.section, found.between, drive=drive)
        self.pose.visit({**self.pose.home(), drive: value})
        self._set_visit(self._visit_of(found))

    def pose_together(self, row: int) -> None:
        """Look at the deepest pose of a row's combined sweep."""
        found = self.timeline.rows[row]
        if found.together is not None:
            self.run.stop()
            self._take_in_hand(found, found.together.at, found.together.drives)
            self.pose.visit({**self.pose.home(), **dict(found.together.at)})
            self._set_visit(self._visit_of(found))

    def pick_row(self, row: int) -> None:
        """Take a row's pair in hand; the pose stays."""
        found = self.timeline.rows[row]
        self.choice.pick_pair(found.section, found.between)
        if self.column is not None:
            self.show_column(Column(row, self.column.drive, self.column.value))

    def show_column(self, column: Column | None) -> None:
        """Ghost the pose of a column, or take the ghost away."""
        self.column = column
        if column is None:
            self.pose.set_ghost(None)
        elif column.drive is not None:
            self.pose.set_ghost({**self.pose.home(), column.drive: column.value})
        elif (together := self.timeline.rows[column.row].together) is not None:
            self.pose.set_ghost({**self.pose.home(), **dict(together.at)})
        self.ghosted.emit()

    def drag(self, body: BodyName, x: float, y: float, phase: str) -> None:
        """The hand on a body: its drive follows, with a light catch where a gap becomes too small and where it first closes."""
        if self.mechanism is not None:
            if phase == "press":
                self.run.stop()
            self._hand.drag(self.mechanism, self.result, body, complex(x, y), phase)
            if phase == "release" and self._behind_hand.pending:
                self._catch_up()

    def drag_band(self, body: str, low: float, high: float, phase: str) -> None:
        """The hand on a depth band of the section shown; the proof follows."""
        if self.choice.section is not None:
            if phase == "press":
                self.run.stop()
            self.adjusting.drag_band(self.choice.section, BodyName(body), (low, high), phase)

    def _take_in_hand(self, row: Row, at: tuple[tuple[DriveName, float], ...], drives: tuple[DriveName, ...]) -> None:
        homes = self.pose.home()
        moved = [name for name, value in at if value != homes.get(name)]
        drive = self.choice.drive
        if moved and drive not in moved:
            drive = moved[0] if moved[0] in drives else drives[0]
        self.choice.pick_pair(row.section, row.between, drive=drive)

    def _visit_of(self, row: Row) -> int | None:
        return next((visit.place - 1 for visit in self.visits() if visit.row is row), None)

    def _set_visit(self, visit: int | None) -> None:
        if visit != self._visit:
            self._visit = visit
            self.visited.emit()

    def _take_project(self) -> None:
        self.run.stop()
        self._turns.clear()
        if self.project is not None and self.document.in_gesture and self.choice.has_names_of(self.project):
            self.redrawn.emit()
            self.following.ask()
        else:
            self._take_whole()

    def _follow_up(self) -> None:
        begun = time.perf_counter()
        self._take_whole()
        self.followed.emit(time.perf_counter() - begun)
        self.following.took(time.perf_counter() - begun)

    def _take_whole(self) -> None:
        project = self.project
        self.following.drop()
        if project is not None:
            # First, since the proof goes on beside all that follows.
            self._prove(project)
        if self.mechanism is not None:
            self.document.let_go.take(self.mechanism.taken_apart())
        self.mechanism = Mechanism(project) if project is not None and self.document.is_valid else None
        self.column = None
        self._visit = None
        self.taking = True
        self.choice.take(project)
        self.pose.take(project)
        self.taking = False
        self._find_gap()
        self.project_shown.emit()

    def _prove(self, project: Project) -> None:
        """Sweep the project at hand; one with faults waits until they are mended."""
        if not self.document.is_valid:
            self.prover.leave()
        elif self.document.in_gesture:
            self.live.wait()
            self.prover.follow(project)
        else:
            self.prover.start(project)

    def _take_answer(self) -> None:
        place = self._visit_of(self.timeline.rows[self.row]) if self.row is not None and self.pose.own is not None else None
        self._visit = place
        self.answered.emit()
        if self._unpicked and self.result is not None and self.timeline.rows:
            self._unpicked = False
            self._turns.begin(self._select_first, self._pick_first, self._take_first)

    def _take_gaps(self, project: Project, gaps: PoseGaps) -> None:
        if self.mechanism is not None and self.mechanism.project is project:
            self.mechanism.take_gaps(gaps)
            self._take_pose()

    def _warm_map(self) -> None:
        if self.project is not None and len(self.project.drives) > 1:
            self.two_drives.warm()

    def _select_first(self) -> None:
        """Begin to show the answer as soon as it is there: the worst breach, else the tightest pair; not where the user is at work already.

        Its bodies are told of in the panel, in the next step its gap is shown on the board, and then it is posed: each takes a
        good part of a frame.
        """
        row = self._first_row(())
        if row is None:
            self._turns.clear()
            return
        self.choice.pick_section(row.section)
        self.choice.pick_bodies(row.between)

    def _pick_first(self) -> None:
        """Take the pair in hand, unless the user has begun to work meanwhile."""
        row = self.timeline.rows[0] if self.timeline.rows else None
        row = None if row is None else self._first_row(row.between)
        if row is None or row.lead is None:
            self._turns.clear()
        else:
            self._take_in_hand(row, row.lead.at, row.lead.drives)

    def _first_row(self, bodies: tuple[BodyName, ...]) -> Row | None:
        """The row to show first; None without any, or where the user is at work: has more in hand than `bodies`."""
        row = self.timeline.rows[0] if self.timeline.rows else None
        at_work = self.choice.bodies != bodies or self.choice.joint or self.run.drive or self.pose.values != self.pose.home()
        return None if row is None or row.lead is None or at_work else row

    def _take_first(self) -> None:
        """Pose what was picked: a turn of its own, since the board is drawn anew for it."""
        row = self.timeline.rows[0] if self.timeline.rows else None
        if row is None or row.lead is None or self.choice.pair != row.between or self.run.drive:
            return
        if self.visits():
            self.visit_breach(0)
        else:
            self.pose.visit({**self.pose.home(), **dict(row.lead.at)})

    def _take_pose(self) -> None:
        if self.taking:
            return  # all of it is shown with the project
        if self._hand.at_work:
            self.stirred.emit()
            self._behind_hand.ask()
            return
        self._find_gap()
        self.posed.emit()

    def _catch_up(self) -> None:
        """What is said of the pose follows the hand."""
        begun = time.perf_counter()
        picked = self._behind_hand.take()
        self._find_gap()
        if picked:
            self.chosen.emit()
        self.posed.emit()
        self.pose.settled.emit()
        self.followed.emit(time.perf_counter() - begun)

    def _take_choice(self) -> None:
        if self.taking:
            return
        if self.document.in_gesture:
            self.picked.emit()
            self.following.expect_long()
            self.following.ask()
        elif self._hand.at_work_in(self.choice.section):
            self._behind_hand.ask(picked=True)
        else:
            self._find_gap()
            self.chosen.emit()

    def _take_visiting(self) -> None:
        if self.taking:
            return
        if self.pose.own is None:
            self._set_visit(None)
        self.visited.emit()

    def _find_gap(self) -> None:
        mechanism, section, pair = self.mechanism, self.choice.section, self.choice.pair
        if mechanism is None or section is None:
            self._gap = None
        elif pair is not None:
            self._gap = mechanism.gap_of(section, pair, self.pose.shown)
        else:
            self._gap = mechanism.tightest(section, self.pose.shown)
