"""Reports of small projects, for the tests of what is written of them."""

from functools import cache

from core.handover.findings import findings_of, swept
from core.handover.limits import Origin
from core.handover.report import clearance_report
from tests.bays import bar, bay, body, disc, drive, pivot, project, rule
from tests.unit.handover.sheets import FONTS

DIGEST = "9" * 64
ORIGIN = Origin(DIGEST, "Baysweep 1.2.3")
HOSTILE = "a</td><script>alert('1')</script>&\"<b>"


def swinging(*, post=20.0, name="Gate", arm="arm", rule_text="printed in one piece", **keys):
    """An arm of 24 that swings past a post at 90 degrees, `post` from its pin, and whose pair with the bay is exempt."""
    bodies = [
        body("bay", disc(0, 0, 2), fixed=True, depth=(20, 25)),
        body("post", disc(0, post, 2), fixed=True, trust="measured"),
        body(arm, bar((0, 0), (24, 0), 2), trust="typical"),
    ]
    record = bay(bodies, [pivot("pin", "bay", arm)], [drive("swing", (0, 120), "pin")], required_gap=1.0, **keys)
    return {**record, "name": name, "gap_rules": [rule("bay", arm, unchecked=rule_text)]}


@cache
def report_of(record_name="breach"):
    """The report of one of: an arm that meets its post, one that clears it, one whose names are hostile."""
    records = {
        "breach": swinging(),
        "clear": swinging(post=40.0),
        "hostile": swinging(name=HOSTILE, arm=HOSTILE, notes=HOSTILE, rule_text=HOSTILE),
    }
    found = project(records[record_name])
    return clearance_report(findings_of(swept(found), origin=ORIGIN, date="2026-01-31"), fonts=FONTS)
