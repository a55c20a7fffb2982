"""The clearance report: what was checked and how, what was found, where it is, and what it rests on."""

from collections.abc import Iterator, Sequence

from core.drawing.slabs import section_slabs
from core.drawing.standing import Standing
from core.handover.bench_tables import bench_blocks
from core.handover.figures import breach_figure
from core.handover.findings import MOST_ROWS, Findings
from core.handover.fonts import Fonts
from core.handover.map_figure import map_figure
from core.handover.page import Block, Figure, Heading, Points, Report, Words
from core.handover.posed import section_named
from core.handover.report_tables import breaches_table, mobility_table, pairs_table, travel_table, unchecked_tables
from core.handover.timeline_figure import timeline_figure
from core.sentences import (
    caution,
    check_sentence,
    counts_sentence,
    finding_sentence,
    not_covered_sentences,
    unchecked_sentence,
    verdict_sentence,
)
from core.sentences.checks import together_alone, way_out_sentence
from core.sentences.numbers import counted, exact_mm, plain
from core.sweep.result import Check, SweepResult
from core.sweep.timeline import Row

MOST_FIGURES = 12
"""Breaches drawn at most; more are in the tables."""

_FINGERS = (
    "Where fingers can be caught, ISO 13854 asks for a gap of at least 25 mm (value from a third-party copy); a gap that clears parts "
    "by a millimetre is a pinch point."
)
_CAUTIONS = (
    "Cut the power and unplug the battery before reaching in. A stalled motor heats up, and moves without warning when it is freed.",
    _FINGERS,
    "Lithium batteries burn when they are shorted, crushed or overcharged; fuse them, and charge them where a fire does no harm.",
)
_ASSUMPTIONS = (
    "Bodies are taken as rigid prisms: the drawn outline, straight through its depth band.",
    "Drives are taken to reach every combination of their travels, unless rules between drives say otherwise.",
    "Nothing is said of bodies that are not drawn: leads, screws, tools and hands among them.",
)


def clearance_report(found: Findings, *, fonts: Fonts) -> Report:
    """The whole report; the same bytes for the same input, but for the order that none of it has."""
    project, result = found.project, found.result
    blocks: list[Block] = [Words(verdict_sentence(result, project, plain), "strong"), Words(counts_sentence(result, plain))]
    blocks += _how(found)
    blocks += [Heading("Pairs, tightest first"), pairs_table(result, project)]
    rows = found.rows
    blocks += [*_breaches(found, rows, fonts), *_timeline(found, rows, fonts), *_maps(found, fonts)]
    blocks += [Heading("Safe travel"), *travel_table(result, project)]
    blocks += [Heading("Mechanism"), *mobility_table(project), *_told_besides(result)]
    blocks += [Heading("Not checked"), *_not_checked(result)]
    blocks += [Heading("What this rests on"), Points((*not_covered_sentences(result, project, plain), *_ASSUMPTIONS))]
    blocks += [Heading("Cautions"), Points((caution(plain), *_CAUTIONS))]
    blocks += bench_blocks(project)
    return Report(
        f"Clearance report: {project.name}", _subtitle(found), _about(found), tuple(block for block in blocks if block != Words(""))
    )


def _subtitle(found: Findings) -> str:
    return found.date


def _about(found: Findings) -> tuple[tuple[str, str], ...]:
    result = found.result
    how = {"solo": "each drive by itself", "combined": "all drives together", "all": "each drive by itself, and all together"}
    told = [
        ("Made by", found.origin.program),
        ("Project file, SHA-256", found.origin.digest),
        ("Swept", how[result.covers] + ("; stopped before the end" if result.stopped else "")),
        ("Lowest gaps narrowed to", exact_mm(result.resolution, plain)),
        ("Work", f"{result.work.boxes:,} boxes, {result.work.gap_queries:,} gaps"),
    ]
    return tuple(told)


def _how(found: Findings) -> Iterator[Block]:
    project, result = found.project, found.result
    pairs = len({(check.section, check.between) for check in result.checks})
    checked = counted(pairs, "1 pair of bodies", "{number} pairs of bodies", plain)
    drives = counted(len(project.drives), "1 drive", "{number} drives", plain)
    yield Words(
        f"{checked} checked over {drives}. A pair is clear only where it is proved that it comes nowhere closer than asked: between two "
        "positions that were looked at, how far each part can move is bounded, so that nothing thin is stepped over."
    )


def _breaches(found: Findings, rows: Sequence[Row], fonts: Fonts) -> Iterator[Block]:
    breached = [row for row in rows if row.verdict == "breach" and row.lead is not None]
    if not breached:
        return
    yield Heading("Breaches")
    yield from breaches_table(found.result, found.project)
    by_pair = found.result.by_pair
    standing = {section.name: Standing(section_slabs(section)) for section in found.project.sections}
    for row in breached[:MOST_FIGURES]:
        check = row.lead
        if check is not None:
            together = together_alone(check, by_pair[check.section, check.between])
            yield _breach(found, standing[check.section], check, fonts, together=together)
    if len(breached) > MOST_FIGURES:
        yield Words(f"{len(breached) - MOST_FIGURES} more pairs breach and are not drawn; a report written as .csv has them all.")


def _breach(found: Findings, standing: Standing, check: Check, fonts: Fonts, *, together: bool) -> Figure:
    values = {drive.name: drive.home for drive in found.project.drives} | dict(check.at)
    gap = found.poses.pair_at(check.section, check.between, values)
    if gap is None:
        raise KeyError(check.between)
    section = section_named(found.project, check.section)
    sheet = breach_figure(found.project, section, values, gap, linkage=found.poses.linkage, fonts=fonts, standing=standing)
    told = (check_sentence(check, found.project, plain, together=together), way_out_sentence(check, plain))
    return Figure(sheet, " ".join(words for words in told if words))


def _timeline(found: Findings, rows: Sequence[Row], fonts: Fonts) -> Iterator[Block]:
    if not rows or not found.project.drives:
        return
    yield Heading("Interference timeline")
    left = len(rows) - MOST_ROWS
    more = f" {left} more pairs are not drawn; a report written as .csv has them all." if left > 0 else ""
    yield Figure(
        timeline_figure(found.project, rows[:MOST_ROWS], fonts=fonts),
        "Each drive from one end of its travel to the other, the others at home; the vertical line is home. Heat tells the lowest gap, "
        "breaches are underlined and contacts hatched; a plain line means that the drive does not move the pair. The column at the right "
        f"covers every combination of all drives.{more}",
    )


def _maps(found: Findings, fonts: Fonts) -> Iterator[Block]:
    if not found.maps:
        return
    yield Heading("Two drives together")
    for each in found.maps:
        first, second = each.drives
        others = "the others at home" if each.others == "home" else "the others anywhere in their travel"
        yield Figure(map_figure(found.project, each, fonts=fonts), f"Where {first} and {second} together bring a pair too close, {others}.")


def _told_besides(result: SweepResult) -> Iterator[Block]:
    told = [f"{finding.level.capitalize()}: {finding_sentence(finding, plain)}" for finding in result.findings]
    if told:
        yield Points(tuple(dict.fromkeys(told)))


def _not_checked(result: SweepResult) -> Iterator[Block]:
    yield Words(unchecked_sentence(result, plain) or "Every pair that can move was checked.")
    yield from unchecked_tables(result)
