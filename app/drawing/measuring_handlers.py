"""What the actions that measure do."""

from collections.abc import Callable, Mapping
from functools import partial

from app.board.marks_kept import Marks
from app.document.choice import section_named
from app.document.desk import Desk
from app.drawing.in_hand import InHand
from app.drawing.measuring import AngleTool, DistanceTool, GapTool, Measuring, RadiusTool, gap_mark

Handler = Callable[[], object]


def measuring_handlers(
    desk: Desk, hand: Callable[[], InHand], marks: Callable[[], Marks], go_to: Callable[[str], object]
) -> Mapping[str, Handler]:
    """By action. `hand` and `marks` are asked when an action is; `go_to` shows a step with the board where none shows."""

    def take(kind: type[Measuring]) -> None:
        board = hand().board
        if not board.isVisible():
            go_to("Gaps")
        hand().take(kind(desk, board, marks()))

    def gap() -> None:
        """Of the two bodies in hand where there are two; else of two that are clicked."""
        picked = desk.choice.bodies
        if len(picked) == 2 and desk.mechanism is not None and hand().tool is None:
            marks().add(gap_mark(section_named(desk.project, desk.choice.section), (picked[0], picked[1])))
        else:
            take(GapTool)

    return {
        "measure_distance": partial(take, DistanceTool),
        "measure_angle": partial(take, AngleTool),
        "measure_radius": partial(take, RadiusTool),
        "measure_gap": gap,
        "clear_marks": lambda: marks().clear(),
    }
