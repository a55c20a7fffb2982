"""Which joints belong to a body? One rule for moving, copying and mirroring: a joint belongs to the body that it carries.

That is the moved body of the joint (the second of `between`), unless that one is fixed and the other is not. So a motor
takes its pivot along when it is moved or copied over the bay; the bay, moved alone, leaves the pivots of its motors where
they are; and of a lever with a rod pinned on, the rod's pin stays. A joint whose two bodies go, goes with them.
"""

from collections.abc import Collection

from core.model.joints import Joint
from core.model.names import BodyName
from core.model.project import Section


def joints_of(section: Section, names: Collection[BodyName]) -> tuple[Joint, ...]:
    """The joints that go where the bodies called `names` go, in the order of the section."""
    fixed = {body.name for body in section.bodies if body.fixed}
    return tuple(joint for joint in section.joints if _carried(joint, fixed) in names)


def _carried(joint: Joint, fixed: Collection[BodyName]) -> BodyName:
    """The body that a joint carries."""
    first, second = joint.between
    return first if second in fixed and first not in fixed else second
