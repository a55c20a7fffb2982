"""Random single edits of a bay's file, as a user makes them one after another; the same for the same seed."""

import copy
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

Record = dict[str, Any]
Edit = Callable[[Record, np.random.Generator], None]


def edited(record: Record, rng: np.random.Generator, kinds: Sequence[str] = ()) -> tuple[str, Record]:
    """The name of an edit (one of `kinds`, or any), and the bay after it; LookupError where it has nothing to edit.

    It may be one that is refused: who asks finds out by reading it.
    """
    name = _one(list(kinds or EDITS), rng)
    after = copy.deepcopy(record)
    EDITS[name](after, rng)
    return name, after


def _one(items: list[Any], rng: np.random.Generator) -> Any:
    if not items:
        raise LookupError("nothing of this kind in the bay")
    return items[int(rng.integers(len(items)))]


def _step(rng: np.random.Generator, size: float) -> float:
    return round(float(rng.uniform(-size, size)), 3)


def _two(record: Record, rng: np.random.Generator) -> list[str]:
    names = [body["name"] for body in _bodies(record)]
    if len(names) < 2:
        raise LookupError("no two bodies in the bay")
    return rng.permutation(names)[:2].tolist()


def _bodies(record: Record) -> list[Record]:
    return record["sections"][0]["bodies"]


def _joints(record: Record) -> list[Record]:
    return record["sections"][0]["joints"]


def _move_vertex(record: Record, rng: np.random.Generator) -> None:
    shape = _one(_one(_bodies(record), rng)["shapes"], rng)
    point = shape.get("centre") or shape.get("to") or _one(shape["points"], rng)
    point[int(rng.integers(2))] = round(point[int(rng.integers(2))] + _step(rng, 1.5), 3)


def _change_depth(record: Record, rng: np.random.Generator) -> None:
    depth = _one(_bodies(record), rng)["depth"]
    depth[:] = [round(end + abs(_step(rng, 6)), 3) for end in depth]


def _change_tolerance(record: Record, rng: np.random.Generator) -> None:
    _one(_bodies(record), rng)["outline_tolerance"] = abs(_step(rng, 0.5))


def _change_travel(record: Record, rng: np.random.Generator) -> None:
    drive = _one(record["drives"], rng)
    end = _one(["from", "to"], rng)
    drive[end] = round(drive[end] * float(rng.uniform(0.6, 1.3)), 3)
    drive["home"] = min(max(drive["home"], drive["from"]), drive["to"])


def _change_home(record: Record, rng: np.random.Generator) -> None:
    drive = _one(record["drives"], rng)
    drive.setdefault("drawn", drive["home"])
    drive["home"] = round(float(rng.uniform(drive["from"], drive["to"])), 3)


def _change_ratio(record: Record, rng: np.random.Generator) -> None:
    _one(_one(record["drives"], rng)["moves"], rng)["ratio"] = _one([1, -1, 0.5, 1.2], rng)


def _ask_of_all(record: Record, rng: np.random.Generator) -> None:
    record["required_gap"] = _one([0, 0.4, 1, 1.6], rng)


def _add_rule(record: Record, rng: np.random.Generator) -> None:
    one, other = _two(record, rng)
    rule = {"section": record["sections"][0]["name"], "between": [one, other], "required_gap": abs(_step(rng, 3))}
    record["gap_rules"] = [*(old for old in record.get("gap_rules", []) if set(old["between"]) != {one, other}), rule]


def _exempt(record: Record, rng: np.random.Generator) -> None:
    one, other = _two(record, rng)
    record["gap_rules"] = [{"section": record["sections"][0]["name"], "between": [one, other], "unchecked": "one casting"}]


def _rule_between_drives(record: Record, rng: np.random.Generator) -> None:
    first, second = _one(record["drives"], rng), _one(record["drives"], rng)
    middle = [round((2 * drive["from"] + drive["to"]) / 3, 3) for drive in (first, second)]
    when = {"drive": first["name"], "from": middle[0], "to": first["to"]}
    keep = {"drive": second["name"], "from": middle[1], "to": second["to"]}
    record["allowed_together"] = [{"while": when, "keep": keep, "reason": "room"}] if first is not second else []


def _move_joint(record: Record, rng: np.random.Generator) -> None:
    at = _one([joint for joint in _joints(record) if "at" in joint], rng)["at"]
    at[:] = [round(value + _step(rng, 0.8), 3) for value in at]


def _change_relief(record: Record, rng: np.random.Generator) -> None:
    _one([joint for joint in _joints(record) if "at" in joint], rng)["relief"] = abs(_step(rng, 6))


def _add_body(record: Record, rng: np.random.Generator) -> None:
    disc = {"kind": "disc", "centre": [_step(rng, 60), _step(rng, 60)], "radius": 1 + abs(_step(rng, 3))}
    taken = {body["name"] for body in _bodies(record)}
    name = next(name for number in range(99) if (name := f"stud {number}") not in taken)
    _bodies(record).insert(int(rng.integers(len(taken) + 1)), {"name": name, "fixed": True, "depth": [0, 20], "shapes": [disc]})


def _delete_body(record: Record, rng: np.random.Generator) -> None:
    """A body with the joints that name it; what moved only those joints goes too."""
    body = _one(_bodies(record), rng)
    _bodies(record).remove(body)
    gone = {joint["name"] for joint in _joints(record) if body["name"] in joint["between"]}
    record["sections"][0]["joints"] = [joint for joint in _joints(record) if joint["name"] not in gone]
    record["gap_rules"] = [rule for rule in record.get("gap_rules", []) if body["name"] not in rule["between"]]
    for drive in record["drives"]:
        drive["moves"] = [move for move in drive["moves"] if move["joint"] not in gone]


def _rename_body(record: Record, rng: np.random.Generator) -> None:
    body = _one(_bodies(record), rng)
    old, new = body["name"], body["name"] + " b"
    body["name"] = new
    for named in (*_joints(record), *record.get("gap_rules", [])):
        named["between"] = [new if name == old else name for name in named["between"]]


def _rename_drive(record: Record, rng: np.random.Generator) -> None:
    drive = _one(record["drives"], rng)
    old, drive["name"] = drive["name"], drive["name"] + " d"
    for rule in record.get("allowed_together", []):
        for side in ("while", "keep"):
            rule[side]["drive"] = drive["name"] if rule[side]["drive"] == old else rule[side]["drive"]


def _swap_bodies(record: Record, rng: np.random.Generator) -> None:
    bodies = _bodies(record)
    one = _one(list(range(len(bodies) - 1)), rng)
    bodies[one : one + 2] = bodies[one : one + 2][::-1]


def _turn_drives_round(record: Record, _rng: np.random.Generator) -> None:
    record["drives"].reverse()


EDITS: dict[str, Edit] = {
    function.__name__.removeprefix("_").replace("_", " "): function
    for function in (
        _move_vertex,
        _change_depth,
        _change_tolerance,
        _change_travel,
        _change_home,
        _change_ratio,
        _ask_of_all,
        _add_rule,
        _exempt,
        _rule_between_drives,
        _move_joint,
        _change_relief,
        _add_body,
        _delete_body,
        _rename_body,
        _rename_drive,
        _swap_bodies,
        _turn_drives_round,
    )
}
