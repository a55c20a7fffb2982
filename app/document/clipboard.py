"""Copy and paste between sections and windows: the clipboard carries a fragment in the project's own JSON."""

from PySide6.QtCore import QByteArray, QMimeData
from PySide6.QtGui import QGuiApplication

from core.errors import BaysweepError
from core.model.faults import fault_text
from core.model.fragment import Fragment
from core.project_file.read import project_from_bytes
from core.project_file.stores_file import errors_of
from core.project_file.write import project_to_bytes

FORM = "application/x-baysweep+json"


def copy_fragment(fragment: Fragment) -> None:
    """Put a fragment on the clipboard, as text too."""
    data = project_to_bytes(fragment)
    mime = QMimeData()
    mime.setData(FORM, QByteArray(data))
    mime.setText(data.decode())
    QGuiApplication.clipboard().setMimeData(mime)


def has_fragment() -> bool:
    """Whether the clipboard holds something that might be pasted."""
    mime = QGuiApplication.clipboard().mimeData()
    return mime is not None and (mime.hasFormat(FORM) or mime.text().lstrip()[:1] == "{")


def copied_fragment() -> Fragment:
    """The fragment on the clipboard. BaysweepError, with a sentence, where it holds something else."""
    try:
        fragment = project_from_bytes(_held(), file=None, allow_invalid=True)
    except BaysweepError as fault:
        raise BaysweepError("The clipboard holds nothing that can be pasted here. Copy bodies first.") from fault
    if len(fragment.sections) != 1:
        raise BaysweepError(
            f"The clipboard holds a project of {len(fragment.sections)} sections. Open it as a file, or copy the bodies of one section."
        )
    # other faults can be drawn through; names that stand for two bodies cannot be told apart
    if found := [finding for finding in errors_of(fragment) if finding.code == "name-repeated"]:
        raise BaysweepError(f"What the clipboard holds was not pasted: {fault_text(found[0])}.")
    return fragment


def _held() -> bytes:
    """What the clipboard holds, as bytes that may be a fragment; none where it holds nothing, when Qt gives no data at all."""
    mime: QMimeData | None = QGuiApplication.clipboard().mimeData()
    if mime is None:
        return b""
    return bytes(mime.data(FORM).data()) if mime.hasFormat(FORM) else mime.text().encode(errors="replace")
