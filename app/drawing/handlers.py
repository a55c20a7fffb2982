"""What the actions that take a drawing tool in hand do."""

from collections.abc import Callable, Mapping
from functools import partial

from app.document.desk import Desk
from app.document.driving import drivable, drive_joint
from app.drawing.hole_tool import HoleTool
from app.drawing.in_hand import InHand
from app.drawing.joint_tool import JOINT_KINDS, JointKind, JointTool
from app.drawing.rod_tool import RodTool
from app.drawing.shape_tool import KINDS, Drawn, ShapeTool

Handler = Callable[[], object]


def drawing_handlers(desk: Desk, hand: Callable[[], InHand], go_to: Callable[[str], object]) -> Mapping[str, Handler]:
    """By action. `hand` is asked when an action is; `go_to` shows the step of the work that a tool belongs to."""

    def draw(kind: Drawn) -> None:
        """The same tool asked for twice draws into the body in hand, and the third time a new one again."""
        in_hand, picked = hand(), desk.handwork.picked
        tool = in_hand.tool
        if type(tool) is ShapeTool and tool.kind == kind and len(picked) == 1:
            tool.draw_into(picked[0])
            return
        go_to("Outline")
        in_hand.take(ShapeTool(desk, in_hand.board, kind))

    def hole() -> None:
        go_to("Outline")
        hand().take(HoleTool(desk, hand().board))

    def joint(kind: JointKind) -> None:
        go_to("Joints")
        hand().take(JointTool(desk, hand().board, kind))

    def rod() -> None:
        go_to("Joints")
        hand().take(RodTool(desk, hand().board))

    def drive() -> None:
        found = drivable(desk)
        if found is not None:
            go_to("Joints")
            drive_joint(desk, found)

    return {
        **{f"draw_{kind}": partial(draw, kind) for kind in KINDS},
        "cut_hole": hole,
        **{f"joint_{kind}": partial(joint, kind) for kind in JOINT_KINDS},
        "draw_rod": rod,
        "drive_joint": drive,
    }
