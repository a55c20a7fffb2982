"""What an answer tells beside its checks: knuckles, pairs not checked and why, and what is odd."""

from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from core.clearance.batch import ragged
from core.clearance.overlap import ways_out
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


def drawn_overlaps(pairs: Sequence[BodyPair], tolerances: Tolerances) -> list[float]:
    """How deep two bodies overlap as drawn, mm; 0 where they do not, or pass over each other. All pairs are measured in one go."""
    met = [(number, shapes) for number, pair in enumerate(pairs) for shapes in pair.shape_pairs if shapes.across < 0]
    found = [0.0] * len(pairs)
    for (number, _), depth in zip(met, _depths([shapes for _, shapes in met], tolerances), strict=True):
        found[number] = max(found[number], depth)
    return found


def _depths(met: Sequence[ShapePair], tolerances: Tolerances) -> list[float]:
    if not met:
        return []
    counts = [len(shapes.cores) for shapes in met]
    gaps = drawn_gaps([core for shapes in met for core in shapes.cores])
    depths: list[float] = (-np.minimum.reduceat(gaps, ragged(counts).start)).tolist()
    rough = [number for number, shapes in enumerate(met) if depths[number] > 0 and not shapes.exact]
    ways = ways_out([(met[number].pieces[0], met[number].pieces[1]) for number in rough], tolerances=tolerances)
    for number, way in zip(rough, ways, strict=True):
        depths[number] = way.depth
    return depths


def unseen_alone(checks: tuple[Check, ...], covers: Covers) -> Iterator[Finding]:
    """Breaches of the combined sweep of pairs that are proved clear of each single drive."""
    if covers != "all":
        return
    seen = {(check.section, check.between) for check in checks if check.sweep == "solo" and check.verdict != "clear"}
    for check in checks:
        if check.sweep == "combined" and check.verdict == "breach" and (check.section, check.between) not in seen:
            data = {"first": check.between[0], "second": check.between[1]}
            yield Finding("note", Place(section=check.section), "solo-unseen", data)
