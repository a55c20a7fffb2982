"""The plain page that `baysweep check` prints: the verdict first, then the pairs, then what the answer leaves out."""

from collections.abc import Iterable, Sequence
from typing import TextIO

from rich.console import Console, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from core.model.finding import Finding
from core.model.project import Project, Unit
from core.sentences import (
    caution,
    counts_sentence,
    finding_sentence,
    mm,
    not_covered_sentences,
    only_together,
    plain,
    together_sentence,
    unchecked_reason,
    unchecked_sentence,
    verdict_sentence,
)
from core.sentences.checks import far_over, judged
from core.sentences.numbers import counted, drive_number, drive_value, exact_mm, unit_of
from core.sentences.together import span_words
from core.sentences.verdict import telling_check
from core.sweep.result import Breach, Check, SafeTravel, SweepResult, Unchecked, Verdict

WIDEST = 100
"""Columns; longer lines are hard to read, however wide the terminal."""

FEW = 5
"""Clear pairs, and pairs not checked for one reason, that are listed where not all are asked for."""

TOLD_ALREADY = frozenset({"solo-unseen"})
"""Findings that the table of pairs tells."""

_RANK: dict[Verdict, int] = {"breach": 0, "undecided": 1, "clear": 2}
_INK: dict[Verdict, str] = {"breach": "bold", "undecided": "italic", "clear": ""}


def print_answer(result: SweepResult, project: Project, *, everything: bool, to: TextIO) -> None:
    """Print the whole page. `everything`: list every pair instead of the first few."""
    print_verdict(result, project, everything=everything, to=to)
    print_rest(result, project, everything=everything, to=to)


def print_verdict(result: SweepResult, project: Project, *, everything: bool, to: TextIO) -> None:
    """The first part of the page: the verdict, the pairs, and where single drives breach; no joint box is needed for it."""
    page = Page(to)
    page.sentence(verdict_sentence(result, project, plain), style="bold")
    page.sentence(counts_sentence(result, plain))
    _print_pairs(page, result, project, everything=everything)
    _print_breaches(page, result, project)


def tells_box(result: SweepResult, project: Project) -> bool:
    """Whether the page tells the joint box: where all is clear without any rule it is all the travel there is."""
    return result.verdict != "clear" or bool(project.allowed_together)


def print_rest(result: SweepResult, project: Project, *, everything: bool, to: TextIO) -> None:
    """The second part: the joint box, what was found besides, what was not checked, and what the answer rests on."""
    page = Page(to)
    _print_together(page, result, project)
    _print_findings(page, result.findings)
    _print_unchecked(page, result.unchecked, unchecked_sentence(result, plain), everything=everything)
    page.gap()
    page.sentence(_work_line(result))
    page.gap()
    for sentence in not_covered_sentences(result, project, plain):
        page.sentence(sentence)
    page.gap()
    page.sentence(caution(plain))


class Page:
    """A column of text on `to`: no markup is read from names, no colour is used, lines break at words."""

    def __init__(self, to: TextIO) -> None:
        self._console = Console(file=to, markup=False, emoji=False, highlight=False)
        self._console.width = min(self._console.width, WIDEST)

    def sentence(self, text: str, *, style: str = "", indent: int = 0) -> None:
        """One paragraph; nothing for an empty text."""
        if text:
            self.show(Padding(Text(text, style=style), (0, 0, 0, indent)))

    def gap(self) -> None:
        """An empty line."""
        self.show("")

    def heading(self, text: str) -> None:
        """A line of its own above a list."""
        self.gap()
        self.sentence(text, style="bold")

    def table(self, heads: Sequence[str], rows: Iterable[Sequence[str | Text]], *, right: frozenset[int] = frozenset()) -> None:
        """Columns without lines; `right` holds the places of columns that are set to the right."""
        drawn = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="dim")
        for place, head in enumerate(heads):
            drawn.add_column(head, justify="right" if place in right else "left", no_wrap=place in right)
        for row in rows:
            drawn.add_row(*(Text(cell) if isinstance(cell, str) else cell for cell in row))
        self.show(drawn)

    def show(self, what: RenderableType) -> None:
        """Anything that rich can print, without the blanks that it pads lines with."""
        with self._console.capture() as captured:
            self._console.print(what)
        for line in captured.get().splitlines():
            self._console.file.write(line.rstrip() + "\n")


def _print_pairs(page: Page, result: SweepResult, project: Project, *, everything: bool) -> None:
    pairs = [_Row(checks, result) for checks in result.by_pair.values()]
    pairs.sort(key=lambda row: (_RANK[row.verdict], row.together, row.margin))
    clear = [row for row in pairs if row.verdict == "clear"]
    hidden = [] if everything or len(clear) <= FEW + 1 else clear[FEW:]
    if not pairs:
        return
    page.gap()
    asked = len({row.lowest.required_gap for row in pairs}) > 1
    heads = ["pair", "verdict", "lowest gap", *(["asked"] if asked else []), "where", "first contact"]
    rows = [row.cells(project, asked=asked) for row in pairs if row not in hidden]
    page.table(heads, rows, right=frozenset({heads.index("lowest gap"), heads.index("where") - 1}))
    if hidden:
        page.sentence(f"{len(hidden)} more pairs, all clear; --all lists them.")


class _Row:
    """One pair: its worst verdict, the lowest gap of all its sweeps, and where a single drive first makes contact."""

    def __init__(self, checks: Sequence[Check], result: SweepResult) -> None:
        self._checks = checks
        telling = telling_check(checks)
        self.verdict = telling.verdict
        self.together = only_together(telling, result)
        self.lowest = min(checks, key=lambda check: (_RANK[check.verdict], judged(check) - check.required_gap))
        self.margin = judged(self.lowest) - self.lowest.required_gap

    def cells(self, project: Project, *, asked: bool) -> list[str | Text]:
        """The row of the table; `asked`: with the required gap."""
        pair = " and ".join(self.lowest.between)
        return [
            f"{self.lowest.section}: {pair}" if len(project.sections) > 1 else pair,
            Text(self.verdict, style=_INK[self.verdict]),
            _gap_cell(self.lowest, self._checks),
            *([exact_mm(self.lowest.required_gap, plain)] if asked else []),
            _where(self.lowest, project),
            "only together" if self.together else ", ".join(filter(None, (_first_contact(check, project) for check in self._checks))),
        ]


def _where(check: Check, project: Project) -> str:
    """Short, for a column: "swing = 38 deg", to a tenth; the sentences and the JSON tell more digits."""
    told = [f"{name} = {drive_value(round(value, 1), unit_of(project, name), tr=plain)}" for name, value in check.at]
    return ", ".join(told) or "home pose"


def _gap_cell(check: Check, checks: Sequence[Check]) -> str:
    """Signed, negative for an overlap; "over" where it was not narrowed any further."""
    far = far_over(check, checks)
    if far is not None:
        return f"over {_mm(far)}"
    return _mm(judged(check))


def _mm(gap: float) -> str:
    """A gap that claims room is rounded down; an overlap, which claims none, to the nearest."""
    return mm(gap, to="near" if gap < 0 else "down")


def _first_contact(check: Check, project: Project) -> str:
    """Where a drive that leaves home meets the pair first; of a combined sweep, no order of positions is told."""
    spans = [span for breach in check.breaches for span in breach.contacts]
    if check.sweep != "solo" or not spans or not check.drives:
        return ""
    drive = check.drives[0]
    home = next((each.home for each in project.drives if each.name == drive), 0.0)
    if any(low <= home <= high for low, high in spans):
        return f"{drive}: home"
    low, high = min(spans, key=lambda span: min(abs(span[0] - home), abs(span[1] - home)))
    unit = unit_of(project, drive)
    first = drive_value(low, unit, to="down", tr=plain) if low > home else drive_value(high, unit, to="up", tr=plain)
    return f"{drive}: {first}"


def _print_breaches(page: Page, result: SweepResult, project: Project) -> None:
    """Every interval of every drive in which a pair comes closer than asked; each is proved clear outside."""
    rows = [
        [" and ".join(check.between), check.drives[0], _span(breach.start, breach.end, unit), _contacts(breach, unit), _worst(breach)]
        for check in result.of_sweep("solo")
        if check.breaches
        for unit in (unit_of(project, check.drives[0]),)
        for breach in check.breaches
    ]
    if rows:
        page.heading("Where a single drive, with the others at home, brings a pair too close")
        page.table(["pair", "drive", "too close", "touching", "at worst"], rows)


def _print_together(page: Page, result: SweepResult, project: Project) -> None:
    """The travels that are safe together, with those that are safe while the other drives stay at home."""
    box = result.safe_box
    if box is None or not tells_box(result, project):
        return
    told = together_sentence(box, project, plain)
    if not box.travels:
        page.gap()
        page.sentence(told)
        return
    page.heading(told)
    alone = {safe.drive: _safe_words(safe, project) for safe in result.safe_travel if safe.others == "home"}
    rows = [
        [
            drive.name,
            span_words((drive.start, drive.end), drive.name, project, plain),
            *([alone[drive.name]] if alone else []),
            span_words((low, high), drive.name, project, plain),
        ]
        for drive, (_, low, high) in zip(project.drives, box.travels, strict=True)
    ]
    page.table(["drive", "travel", *(["safe, others at home"] if alone else []), "safe together"], rows)


def _safe_words(safe: SafeTravel, project: Project) -> str:
    return "none" if safe.start is None or safe.end is None else span_words((safe.start, safe.end), safe.drive, project, plain)


def _span(low: float, high: float, unit: Unit) -> str:
    return f"{drive_number(low, to='down')} to {drive_value(high, unit, to='up', tr=plain)}"


def _contacts(breach: Breach, unit: Unit) -> str:
    return ", ".join(_span(low, high, unit) for low, high in breach.contacts) or "nowhere"


def _worst(breach: Breach) -> str:
    return f"{_mm(breach.lowest_gap)} at {drive_number(breach.at)}"


def _print_findings(page: Page, findings: Sequence[Finding]) -> None:
    findings = [finding for finding in findings if finding.code not in TOLD_ALREADY]
    if not findings:
        return
    page.heading("Found besides")
    order = {"error": 0, "warning": 1, "note": 2}
    for finding in sorted(findings, key=lambda finding: order[finding.level]):
        page.sentence(f"{finding.level}: {finding_sentence(finding, plain)}", indent=2)


def _print_unchecked(page: Page, unchecked: Sequence[Unchecked], sentence: str, *, everything: bool) -> None:
    if not unchecked:
        return
    page.heading(sentence)
    grouped: dict[str, list[str]] = {}
    for pair in unchecked:
        reason = "passes over" if pair.code == "passes-over" and not everything else unchecked_reason(pair, plain)
        grouped.setdefault(reason or "no reason given", []).append(" and ".join(pair.between))
    for reason, pairs in grouped.items():
        shown = pairs if everything or len(pairs) <= FEW + 1 else pairs[:FEW]
        more = f"; {len(pairs) - len(shown)} more" if len(shown) < len(pairs) else ""
        page.sentence(f"{reason} ({len(pairs)}): {'; '.join(shown)}{more}", indent=2)


def _work_line(result: SweepResult) -> str:
    work = result.work
    pairs = counted(len(result.by_pair), "1 pair", "{number} pairs", plain)
    how = {"solo": "each drive by itself", "combined": "all drives together", "all": "each drive by itself and all together"}[result.covers]
    told = f"Checked {pairs}, {how}: {work.boxes:,} boxes, {work.gap_queries:,} gaps, {drive_number(work.seconds, to='up')} s."
    return f"{told} Stopped before the end." if result.stopped else told
