"""The joint safe box as words: what all drives may do together, whatever rules there are between them."""

from core.model.names import DriveName
from core.model.project import Project
from core.sentences.numbers import Translator, drive_number, drive_value, proved_mm, unit_of
from core.sweep.result import SafeBox, Span
from core.tolerances import DEFAULT_TOLERANCES, Tolerances

_WHY = {"home-breaches": "a pair is too close at home already", "undecided": "a pair is not decided"}


def together_sentence(box: SafeBox, project: Project, tr: Translator, *, tolerances: Tolerances = DEFAULT_TOLERANCES) -> str:
    """What is proved of the joint safe box, or why there is none."""
    if not box.travels or box.floor is None:
        return tr("No travels are safe together: {why}.").format(why=tr(_WHY[box.code])) if box.code else ""
    required = project.required_gap
    everything = all((low, high) == (drive.start, drive.end) for (_, low, high), drive in zip(box.travels, project.drives, strict=True))
    where = tr("all of all travels, in any combination") if everything else tr("in any combination of these travels")
    floor = proved_mm(box.floor, required=required, touch=tolerances.touch, tr=tr)
    # A pair of which less is asked may come closer and still keep its gap.
    keeps = box.floor >= required - tolerances.touch
    what = (
        tr("no checked pair comes closer than {floor}").format(floor=floor)
        if keeps
        else tr("every checked pair keeps the gap you asked for")
    )
    rules = " " + tr("No rule between drives is needed for it.") if project.allowed_together else ""
    return tr("Safe together: {where}, {what}.").format(where=where, what=what) + rules


def span_words(span: Span, drive: DriveName, project: Project, tr: Translator) -> str:
    """Where a drive may go, rounded to the safe side: "-5.28 to 30.95 deg"."""
    high = drive_value(span[1], unit_of(project, drive), to="down", tr=tr)
    return tr("{low} to {high}").format(low=drive_number(span[0], to="up"), high=high)
