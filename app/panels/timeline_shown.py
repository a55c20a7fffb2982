"""What the interference timeline shows of what the desk has."""

from app.document.desk import Desk
from app.panels.standing import Translator, headings
from app.theme import Style
from app.timeline.showing import Showing


def timeline_shown(desk: Desk, style: Style, size: tuple[int, int], tr: Translator) -> Showing:
    """Rows, pose, pair and column in hand. size: logical pixels, width and height."""
    before, column = desk.document.before, desk.column
    gap = desk.gap if desk.choice.pair else None
    return Showing(
        style,
        size,
        project=desk.project,
        timeline=desk.timeline,
        before=before.timeline if before and not desk.outdated else None,
        selected=desk.row,
        drive=desk.choice.drive,
        values=desk.pose.shown,
        here=gap.gap if gap else None,
        column=(column.drive, column.value) if column and column.drive is not None else None,
        headings=headings(tr),
        unchecked=len(desk.result.unchecked) if desk.result else 0,
        outdated=desk.outdated,
        bare=desk.result is not None and not desk.result.checks,
    )
