"""The answers to "Why?": to a verdict, to a pair's verdict, and to a pair that is not checked. Pure functions."""

from collections.abc import Callable

from app.panels.pairs_words import why_not_checked
from app.panels.standing import true_minus
from core.model.project import Project
from core.sentences import caution, counts_sentence, degree_sign, not_covered_sentences, unchecked_reason, unchecked_sentence, why
from core.sweep.pair_stands import PairStand
from core.sweep.result import SweepResult
from core.sweep.timeline import Row

Translator = Callable[[str], str]


def why_sentences(
    result: SweepResult, row: Row | None, project: Project, tr: Translator, *, missing: PairStand | None = None
) -> tuple[str, ...]:
    """Who was checked over what and how it was proved: of the row's checks, or of the whole answer where there is no row.

    missing: the pair in hand where it has no row; why it is not checked is told first.
    """
    words = degree_sign(tr)
    told: list[str] = []
    if row is None and missing is not None and (reason := why_not_checked(missing, tr)):
        first, second = missing.between
        told.append(tr("{first} and {second} are not checked: {reason}.").format(first=first, second=second, reason=reason))
    if row is not None:
        checks = dict.fromkeys(check for check in (row.lead, row.together) if check is not None)
        told = [" ".join(why(check, project, words)) for check in checks]
    else:
        told.append(counts_sentence(result, words))
    told += [unchecked_sentence(result, words), *not_covered_sentences(result, project, words), caution(words)]
    return tuple(true_minus(sentence) for sentence in told if sentence)


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
