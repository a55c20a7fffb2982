"""The answers to "Why?": to a verdict, to a pair's verdict, and to a pair that is not checked. Pure functions."""

from collections.abc import Callable

from app.panels.pairs_words import why_not_checked
from app.panels.standing import true_minus
from core.model.project import Project
from core.sentences import (
    caution,
    counts_sentence,
    degree_sign,
    not_covered_sentences,
    telling_check,
    unchecked_reason,
    unchecked_sentence,
    why,
)
from core.sweep.pair_stands import PairStand
from core.sweep.result import Check, SweepResult
from core.sweep.timeline import Row

Translator = Callable[[str], str]


def why_sentences(
    result: SweepResult, row: Row | None, project: Project, tr: Translator, *, missing: PairStand | None = None
) -> tuple[str, ...]:
    """Who was checked over what and how it was proved: of the row's checks, or of the whole answer where there is no row.

    missing: the pair in hand where it has no row; why it is not checked is told first. With no pair in hand the one is told
    of that decides the answer.
    """
    words = degree_sign(tr)
    told: list[str] = []
    if row is not None:
        told = _of_row(row, project, words)
    else:
        if missing is not None and (reason := why_not_checked(missing, tr)):
            first, second = missing.between
            told.append(tr("{first} and {second} are not checked: {reason}.").format(first=first, second=second, reason=reason))
        told.append(counts_sentence(result, words))
        if missing is None and result.checks:
            told.append(" ".join(why(telling_check(result.checks), project, words)))
    told += [unchecked_sentence(result, words), *not_covered_sentences(result, project, words), caution(words)]
    return tuple(true_minus(sentence) for sentence in told if sentence)


def _of_row(row: Row, project: Project, tr: Translator) -> list[str]:
    """What a pair's own sweep found and what the combined one adds; where that is nothing a line says so."""
    own, together = row.lead, row.together
    told = [" ".join(why(check, project, tr)) for check in dict.fromkeys((own, together)) if check is not None]
    if own is None or together is None or own == together or not _adds_nothing(own, together, project):
        return told
    same = tr("No other drive moves the two, so with all together it is the same.") if len(project.drives) > 1 else ""
    return [" ".join(filter(None, (told[0], same)))]


def _adds_nothing(own: Check, together: Check, project: Project) -> bool:
    """Whether the combined sweep went through the very positions of a pair's own one, and found the same."""
    same = own.drives == together.drives and own.reached == together.reached and own.verdict == together.verdict
    return same and own.proof == together.proof and not project.allowed_together


def unchecked_sentences(result: SweepResult, tr: Translator) -> tuple[str, ...]:
    """How many pairs are not checked, then their names gathered by the reason."""
    gathered: dict[str, list[str]] = {}
    for pair in result.unchecked:
        gathered.setdefault(unchecked_reason(pair, tr), []).append(
            tr("{first} and {second}").format(first=pair.between[0], second=pair.between[1])
        )
    listed = (tr("{reason}: {pairs}.").format(reason=_capital(reason), pairs="; ".join(pairs)) for reason, pairs in gathered.items())
    return (unchecked_sentence(result, tr), *listed)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
