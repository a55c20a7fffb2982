"""What an answer tells beside its checks: knuckles, pairs not checked and why, and what is odd."""

from collections.abc import Iterable, Iterator, Sequence

from core.clearance.overlap import way_out
from core.clearance.pairs import BodyPair, ShapePair
from core.clearance.posed import drawn_gaps
from core.model.finding import Datum, Finding, Place
from core.sweep.result import Check, Covers, Knuckle, Unchecked
from core.tolerances import Tolerances


def knuckles_of(pairs: Iterable[BodyPair]) -> Iterator[Knuckle]:
    """Where shapes hold the same pin, so that their relief is not checked."""
    for pair in pairs:
        if pair.knuckles and pair.asked.unchecked is None:
            for own in pair.knuckles:
                yield Knuckle(pair.section, own.joint, pair.between, own.shapes, own.relief, own.running, own.left)


def unchecked_of(pairs: Iterable[BodyPair]) -> Iterator[Unchecked]:
    """Pairs that the answer says nothing about, each with its reason."""
    for pair in pairs:
        if pair.asked.unchecked is not None:
            yield Unchecked(pair.section, pair.between, "rule", pair.asked.unchecked)
        elif (across := pair.passes_over) is not None:
            yield Unchecked(pair.section, pair.between, "passes-over", depth_gap=across)


def nothing_left(pairs: Iterable[BodyPair]) -> Iterator[Finding]:
    """Pairs of which knuckles took all there was to check."""
    for pair in pairs:
        if pair.nothing_left and pair.asked.unchecked is None:
            joint = pair.knuckles[0].joint
            data = {"first": pair.between[0], "second": pair.between[1], "joint": joint}
            yield Finding("warning", Place(section=pair.section, joint=joint), "knuckle-nothing-left", data)


def still_overlaps(pairs: Sequence[BodyPair], depths: Sequence[float], tolerances: Tolerances) -> Iterator[Finding]:
    """Bodies that never move relative to each other, looked at once as drawn. depths: of each, mm."""
    for pair, depth in zip(pairs, depths, strict=True):
        if depth > tolerances.touch and pair.asked.unchecked is None:
            data: dict[str, Datum] = {"first": pair.between[0], "second": pair.between[1], "depth": depth}
            yield Finding("warning", Place(section=pair.section, body=pair.between[0]), "still-overlap", data)


def drawn_overlap(pair: BodyPair, tolerances: Tolerances) -> float:
    """How deep two bodies overlap as drawn, mm; 0 where they do not, or pass over each other."""
    return max((_depth(shapes, tolerances) for shapes in pair.shape_pairs if shapes.across < 0), default=0.0)


def _depth(shapes: ShapePair, tolerances: Tolerances) -> float:
    depth = -float(drawn_gaps(shapes.cores).min())
    return depth if shapes.exact or depth <= 0 else way_out(*shapes.pieces, tolerances=tolerances).depth


def unseen_alone(checks: tuple[Check, ...], covers: Covers) -> Iterator[Finding]:
    """Breaches of the combined sweep of pairs that are proved clear of each single drive."""
    if covers != "all":
        return
    seen = {(check.section, check.between) for check in checks if check.sweep == "solo" and check.verdict != "clear"}
    for check in checks:
        if check.sweep == "combined" and check.verdict == "breach" and (check.section, check.between) not in seen:
            data = {"first": check.between[0], "second": check.between[1]}
            yield Finding("note", Place(section=check.section), "solo-unseen", data)
