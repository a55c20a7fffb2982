"""The verdict as one line, and what an edit changed, from hand-made answers."""

from dataclasses import replace

from msgspec.structs import replace as with_fields

from core.model.project import AllowedTogether, DriveSpan
from core.sentences import change_line, degree_sign, plain, verdict_line
from tests.unit.test_sentences import ARM, LAMP, check, result

SIGN = degree_sign(plain)


def pairs(*verdicts):
    """A check for each verdict, of petals 1 and 2, 2 and 3, and so on, combined."""
    made = []
    for place, verdict in enumerate(verdicts, start=1):
        floor = {"clear": 1.25, "undecided": 0.2, "breach": None}[verdict]
        lowest = {"clear": 1.3, "undecided": 0.9, "breach": -2.0}[verdict]
        made.append(
            check(
                "combined", ("fold 1", "fold 2"), (f"petal {place}", f"petal {place + 1}"), verdict,
                floor=floor, lowest_gap=lowest, at=(("fold 1", 5.0), ("fold 2", 60.0)),
            )
        )  # fmt: skip
    return tuple(made)


def test_a_proved_line_counts_pairs_and_drives_and_rounds_its_floor_down():
    told = result(*pairs("clear", "clear"), replace(pairs("clear")[0], between=("petal 4", "petal 5"), floor=1.219))
    assert verdict_line(told, LAMP, SIGN) == "Proved: nothing closer than 1.21 mm in 3 pairs, 10 drives, every combination."


def test_outline_tolerances_are_taken_off_the_floor():
    told = result(replace(pairs("clear")[0], tolerance=0.2))
    assert verdict_line(told, LAMP, SIGN) == "Proved: nothing closer than 1.05 mm in 1 pair, 10 drives, every combination."


def test_where_the_closest_pair_is_not_the_tightest_the_line_says_that_each_gap_is_kept():
    easy = replace(pairs("clear")[0], between=("petal 4", "petal 5"), required_gap=0.0, floor=0.5, lowest_gap=0.5)
    told = result(*pairs("clear"), easy)
    assert verdict_line(told, LAMP, SIGN).startswith("Proved: every gap is kept, nothing closer than 0.50 mm in 2 pairs,")


def test_rules_between_drives_are_told():
    rule = AllowedTogether(
        when=DriveSpan(drive="fold 1", start=42.0, end=64.0), keep=DriveSpan(drive="fold 2", start=0.0, end=2.0), reason="made so"
    )
    lamp = with_fields(LAMP, allowed_together=(rule,))
    assert verdict_line(result(*pairs("clear")), lamp, SIGN).endswith("10 drives, every combination that your rules allow.")


def test_a_breach_line_names_one_pair_at_one_position_and_counts_the_others():
    told = result(*pairs("breach", "breach", "breach", "clear"), verdict="breach")
    assert verdict_line(told, LAMP, SIGN) == (
        "Breach: petal 1 meets petal 2 with fold 1 at 5\N{DEGREE SIGN} and fold 2 at 60\N{DEGREE SIGN}; 2 more pairs breach."
    )


def test_a_breach_that_no_drive_changes_is_told_of_the_home_pose():
    told = result(replace(pairs("breach")[0], drives=(), at=()), verdict="breach")
    assert verdict_line(told, LAMP, SIGN) == "Breach: petal 1 meets petal 2 in the home pose."


def test_a_pair_that_is_only_too_close_is_not_said_to_meet():
    short = replace(pairs("breach")[0], lowest_gap=0.4)
    told = verdict_line(result(short, verdict="breach"), LAMP, SIGN)
    assert told.startswith("Breach: petal 1 comes too close to petal 2 with fold 1 at 5")
    assert told.endswith("60\N{DEGREE SIGN}.")


def test_an_undecided_line_counts_what_is_open():
    told = result(*pairs("undecided", "clear", "clear"), verdict="undecided")
    assert verdict_line(told, LAMP, SIGN) == "Undecided: 1 of 3 pairs; the others keep what is asked of them."


def test_nothing_checked_is_never_called_proved():
    assert verdict_line(result(), ARM, SIGN).startswith("Nothing to check:")


def test_a_change_counts_pairs_not_checks():
    solo = replace(pairs("breach")[0], sweep="solo", drives=("fold 1",))
    before = result(*pairs("breach", "breach", "breach", "clear"), solo, verdict="breach")
    after = result(*pairs("clear", "clear", "breach", "breach"), verdict="breach")
    assert change_line(before, after, SIGN) == "2 cleared, 1 new"


def test_a_pair_no_longer_checked_is_cleared_and_one_now_undecided_is_not():
    before = result(*pairs("breach", "breach"), verdict="breach")
    after = result(*pairs("undecided"), verdict="undecided")
    assert change_line(before, after, SIGN) == "1 cleared, 0 new, 1 now undecided"


def test_an_edit_without_effect_on_the_breaches_says_so():
    same = result(*pairs("breach", "clear"), verdict="breach")
    assert change_line(same, same, SIGN) == "no breach cleared, none new"
