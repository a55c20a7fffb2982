"""What the file that is to be handed over rests on, in a sentence."""

from collections.abc import Callable

from app.document.handing import SWEPT, Handing

Translator = Callable[[str], str]


def rests_on_line(handing: Handing, *, sweeping: bool, tr: Translator) -> str:
    """Whether it is of the project as it is now, being made, or cannot be made, and why."""
    if not handing.valid:
        return tr("The drawing has faults. Mend them first; nothing is made of it until then.")
    if handing.fault is not None:
        died = tr("the process that makes it ended by itself ({code})").format(code=handing.fault.detail)
        why = died if handing.fault.what == "died" else handing.fault.detail
        return tr("It could not be made: {fault}. Choose it once more.").format(fault=why)
    made = handing.made
    if made is not None and handing.fresh:
        return made.why_not or _fresh(handing, tr)
    if handing.kind in SWEPT and sweeping:
        return tr("The sweep is not done; this would be out of date.")
    if made is not None:
        return tr("Out of date: the project or an option has changed. It is being made anew.")
    if handing.share is not None and handing.kind in SWEPT:
        return tr("Being proved in full for this file: {share} %.").format(share=int(100 * handing.share))
    return tr("Being made.")


def _fresh(handing: Handing, tr: Translator) -> str:
    told = tr("As proved now.") if handing.kind in SWEPT else tr("As drawn now; it says nothing of gaps.")
    return tr("{told} Unsaved changes are in it.").format(told=told) if handing.unsaved else told
