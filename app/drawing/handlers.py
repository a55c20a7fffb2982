"""What the actions that take a drawing tool in hand do."""

from collections.abc import Callable, Mapping
from functools import partial

from app.document.desk import Desk
from app.drawing.in_hand import InHand
from app.drawing.shape_tool import KINDS, Drawn, ShapeTool

Handler = Callable[[], object]


def drawing_handlers(desk: Desk, hand: Callable[[], InHand], go_to: Callable[[str], object]) -> Mapping[str, Handler]:
    """By action. `hand` is asked when an action is; `go_to` shows the step of the work that a tool belongs to."""

    def draw(kind: Drawn) -> None:
        """The same tool asked for twice draws into the body in hand, and the third time a new one again."""
        in_hand, picked = hand(), desk.handwork.picked
        tool = in_hand.tool
        if isinstance(tool, ShapeTool) and tool.kind == kind and len(picked) == 1:
            tool.draw_into(picked[0])
            return
        go_to("Outline")
        in_hand.take(ShapeTool(desk, in_hand.board, kind))

    return {f"draw_{kind}": partial(draw, kind) for kind in KINDS}
