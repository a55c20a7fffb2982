"""A sweep's answer as plain dictionaries, lists and numbers, ready for JSON; `work.seconds` alone differs from run to run."""

from collections.abc import Callable, Mapping, Sequence

from core.model.finding import Finding
from core.sweep.result import Breach, Check, Knuckle, SafeBox, SafeTravel, Span, SweepResult, Unchecked, Values

Json = str | int | float | bool | None | Sequence["Json"] | Mapping[str, "Json"]
JsonObject = dict[str, Json]

DECIMALS = 6
"""Lengths, angles and shares are written to this many decimals, as project files are."""


def sweep_as_json(
    result: SweepResult, *, finding_text: Callable[[Finding], str], unchecked_reason: Callable[[Unchecked], str]
) -> JsonObject:
    """The whole answer. The two callables give the words; their room stands above this one.

    Keys that every answer has always appear; `tolerance`, `play`, `depth_gap`, `step`, `open_share`, `far` (of a check), `grazes` (of
    a breach), `running` and `left` (of a knuckle) and `stopped` appear only where they say something.
    """
    written: JsonObject = {
        "project": result.project,
        "verdict": result.verdict,
        "covers": result.covers,
        "checks": [_check(check) for check in result.checks],
        "knuckles": [_knuckle(knuckle) for knuckle in result.knuckles],
        "unchecked": [
            {"section": pair.section, "between": list(pair.between), "reason": unchecked_reason(pair)} for pair in result.unchecked
        ],
        "findings": [
            {"level": found.level, "place": dict(found.place.as_names()), "code": found.code, "text": finding_text(found)}
            for found in result.findings
        ],
        "work": {
            "poses": result.work.poses,
            "boxes": result.work.boxes,
            "gap_queries": result.work.gap_queries,
            "seconds": round(result.work.seconds, 3),
        },
    }
    if result.without_rules:
        without = {check.verdict for check in (*result.of_sweep("solo"), *result.without_rules)}
        written["verdict_without_rules"] = next(verdict for verdict in ("breach", "undecided", "clear") if verdict in without)
        written["without_rules"] = [_check(check) for check in result.without_rules]
    if result.safe_travel:
        written["safe_travel"] = [_safe(safe) for safe in result.safe_travel]
    if result.safe_box is not None:
        written["safe_box"] = _box(result.safe_box)
    if result.stopped:
        written["stopped"] = True
    return written


def number(value: float) -> float:
    """`value` to six decimals, never -0.0; not finite becomes an error, since JSON has no word for it."""
    if value != value or value in (float("inf"), float("-inf")):
        msg = f"{value} cannot be written as JSON"
        raise ValueError(msg)
    return round(value, DECIMALS) + 0.0


def _safe(safe: SafeTravel) -> JsonObject:
    written: JsonObject = {"drive": safe.drive, "others": safe.others, "from": _maybe(safe.start), "to": _maybe(safe.end)}
    if safe.code:
        written["why"] = safe.code
    return written


def _box(box: SafeBox) -> JsonObject:
    """It holds whether or not the project's rules between drives are kept; `travels` and `floor` are null where there is none."""
    if not box.travels:
        return {"travels": None, "floor": None, "why": box.code}
    return {"travels": {name: _span((low, high)) for name, low, high in box.travels}, "floor": _maybe(box.floor), "rules_needed": False}


def _maybe(value: float | None) -> float | None:
    return None if value is None else number(value)


def _span(span: Span) -> list[Json]:
    return [number(span[0]), number(span[1])]


def values_as_json(values: Values) -> JsonObject:
    """Drive values by name: `{"swing": 38.0}`."""
    return {name: number(value) for name, value in values}


def _check(check: Check) -> JsonObject:
    written: JsonObject = {
        "sweep": check.sweep,
        "drives": list(check.drives),
        "section": check.section,
        "between": list(check.between),
        "required_gap": number(check.required_gap),
    }
    if check.tolerance:
        written["tolerance"] = number(check.tolerance)
    if check.play:
        written["play"] = number(check.play)
    written |= {
        "verdict": check.verdict,
        "proof": check.proof,
        "reached": {name: _span((low, high)) for name, low, high in check.reached},
        "lowest_gap": number(check.lowest_gap),
        "at": values_as_json(check.at),
        "way_out": None if check.way_out is None else _span(check.way_out),
        "floor": _maybe(check.floor),
    }
    if check.sweep == "solo":
        written["breaches"] = [_breach(breach) for breach in check.breaches]
    return written | _set_only(check)


def _set_only(check: Check) -> JsonObject:
    told: JsonObject = {}
    if check.depth_gap is not None:
        told["depth_gap"] = number(check.depth_gap)
    if check.step is not None:
        told["step"] = number(check.step)
    if check.open_share:
        told["open_share"] = number(check.open_share)
    if check.far:
        told["far"] = True
    return told


def _breach(breach: Breach) -> JsonObject:
    written: JsonObject = {
        "from": number(breach.start),
        "to": number(breach.end),
        "contact": None if breach.contact is None else _span(breach.contact),
        "contacts": [_span(span) for span in breach.contacts],
        "lowest_gap": number(breach.lowest_gap),
        "at": number(breach.at),
    }
    if breach.grazes:
        written["grazes"] = True
    return written


def _knuckle(knuckle: Knuckle) -> JsonObject:
    written: JsonObject = {
        "section": knuckle.section,
        "joint": knuckle.joint,
        "between": list(knuckle.between),
        "shapes": list(knuckle.shapes),
        "relief": number(knuckle.relief),
    }
    if knuckle.running:
        written["running"] = True
    if not knuckle.left:
        written["left"] = False
    return written
