"""What a turn of the window has changed is painted in that turn, not with whatever comes next."""

from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QWidget


def paint_now(widget: QWidget) -> None:
    """Lay out and paint what is to be painted of the window of `widget`.

    While a hand drags, the next turn is a frame of the drag, which would have to paint the words that followed the one before as well.
    """
    QCoreApplication.sendPostedEvents(None, QEvent.Type.LayoutRequest.value)
    QCoreApplication.sendPostedEvents(widget.window(), QEvent.Type.UpdateRequest.value)
