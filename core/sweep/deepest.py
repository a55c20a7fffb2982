"""The deepest pose near one that is known: the exact overlap of concave shapes is not what their pieces say."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from core.sweep.asked_together import Asking
from core.sweep.at_pose import PoseGap
from core.sweep.plan import Row
from core.sweep.result import Span, Values

Allows = Callable[[Values], bool]

LOOKS = 12
"""Poses tried at most: each costs a millisecond or more."""

CHEAP, DEAR = 400, 2000
"""Pairs of convex pieces up to which a look takes about a millisecond, and beyond which it takes a tenth of a second."""

STARTS = 9
"""Values over the span of a single drive that the search may begin at."""

MOST_DRIVES = 2
"""Over more drives a round costs too much: the deepest of the poses found before is told."""

FIRST_STEP = 0.08
"""Share of each drive's span that the search begins with; halved where a round finds nothing deeper."""


@dataclass(frozen=True, slots=True)
class Deep:
    """A pose and the gap there."""

    at: Values
    told: PoseGap


def deepest(row: Row, starts: Sequence[Values], spans: tuple[Span, ...], *, digits: int, allows: Allows | None = None) -> Asking[Deep]:
    """Search about the deepest of `starts` inside the spans (one a drive) for the deepest overlap; nothing is proved.

    allows: says of a pose whether rules between drives allow it.

    Rows whose signed gap is exact already (both shapes convex, or a room) are only measured at the starts.
    """
    effort = _effort(row)
    if effort:
        starts = [*starts, *(value for value in _over_span(starts[0], spans, digits) if allows is None or allows(value))]
    best = min((yield from _looked(row, starts)), key=lambda deep: deep.told.gap)
    at, share, looks = best.at, FIRST_STEP, LOOKS if effort > 1 else 0
    while len(at) <= MOST_DRIVES and looks >= 2 * len(at) > 0:
        around = _around(best.at, spans, share, digits)
        tried = yield from _looked(row, [values for values in around if allows is None or allows(values)])
        looks -= len(around)
        better = min(tried, key=lambda deep: deep.told.gap, default=best)
        if better.told.reached and better.told.gap < best.told.gap:
            best = better
        else:
            share /= 2
    return best


def _looked(row: Row, places: Sequence[Values]) -> Asking[list[Deep]]:
    told = yield [(row, dict(values)) for values in places]
    return [Deep(values, gap) for values, gap in zip(places, told, strict=True)]


def _effort(row: Row) -> int:
    """How hard to search: 0 not at all (exact already, or each look takes too long), 1 over the span only, 2 fully."""
    if row.exact:
        return 0
    pairs = sum(len(shapes.pieces[0]) * len(shapes.pieces[1]) for shapes in row.shape_pairs)
    return 2 if pairs <= CHEAP else 1 if pairs <= DEAR else 0


def _over_span(at: Values, spans: tuple[Span, ...], digits: int) -> list[Values]:
    """Values over the span of a single drive, its ends too: a depth that jumps is not found from its pieces' low."""
    if len(at) != 1:
        return []
    low, high = spans[0]
    return [((at[0][0], round(low + (high - low) * step / (STARTS - 1), digits)),) for step in range(STARTS)]


def _around(at: Values, spans: tuple[Span, ...], share: float, digits: int) -> list[Values]:
    """A step both ways on every drive, inside its span."""
    found = []
    for place, ((drive, value), (low, high)) in enumerate(zip(at, spans, strict=True)):
        for step in (share * (high - low), share * (low - high)):
            moved = round(min(max(value + step, low), high), digits)
            found.append((*at[:place], (drive, moved), *at[place + 1 :]))
    return found


def rounded_gap(found: PoseGap, *, digits: int) -> PoseGap:
    """The gap and the way out rounded, never -0.0."""
    way = found.way_out
    plain = None if way is None else (round(way[0], digits) + 0.0, round(way[1], digits) + 0.0)
    return found._replace(gap=round(found.gap, digits) + 0.0, way_out=plain)
