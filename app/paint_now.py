"""What a turn of the window has changed is painted in that turn, not with whatever comes next."""

from PySide6.QtCore import QCoreApplication, QEvent, QTimer
from PySide6.QtWidgets import QWidget


def paint_now(widget: QWidget) -> None:
    """Lay out and paint what is to be painted of the window of `widget`; in the next turn once more, what was put off until then.

    While a hand drags, what comes next is a frame of the drag, which would have to paint the words that followed the one before as well.
    What scrolls, for one, places its edges a turn after what is inside has come to its places.
    """
    _paint(widget)
    QTimer.singleShot(0, widget, lambda: _paint(widget))


def _paint(widget: QWidget) -> None:
    QCoreApplication.sendPostedEvents(None, QEvent.Type.LayoutRequest.value)
    QCoreApplication.sendPostedEvents(widget.window(), QEvent.Type.UpdateRequest.value)
