"""Questions that ask for gaps turn by turn: each gets its own answers, and a turn is one measurement."""

from core.model.names import DriveName
from core.sweep.asked_together import answered
from core.sweep.at_pose import PoseGaps
from tests.bench.ring_bay import ring_bay

BAY = ring_bay(3)
FOLD = DriveName("fold 1")


class Counted(PoseGaps):
    """Counts how often it is asked."""

    turns = 0

    def rows_at(self, asked):
        self.turns += 1
        return super().rows_at(asked)


def lowest_of(row, *rounds):
    """Asks for the row's gap at each value of each round; answers the lowest."""
    found = []
    for values in rounds:
        told = yield [(row, {FOLD: value}) for value in values]
        found += [gap.gap for gap in told]
    return min(found, default=None)


def test_each_question_gets_the_gaps_it_asked_for_and_a_turn_is_measured_in_one_go():
    poses = Counted(BAY)
    row, other = (
        next(row for row in poses.plan.rows if set(row.pair.between) == pair) for pair in ({"motor 1", "flap 1"}, {"post 1", "flap 1"})
    )
    questions = [lowest_of(row, [0.0, 30.0], [60.0]), lowest_of(other), lowest_of(other, [30.0]), lowest_of(row, [10.0], [20.0], [62.0])]
    told = answered(poses, questions)
    assert poses.turns == 3
    alone = PoseGaps(BAY)
    assert told == (
        min(alone.row_at(row, {FOLD: value}).gap for value in (0.0, 30.0, 60.0)),
        None,
        alone.row_at(other, {FOLD: 30.0}).gap,
        min(alone.row_at(row, {FOLD: value}).gap for value in (10.0, 20.0, 62.0)),
    )
    assert told[0] < 0 < told[2]


def test_no_question_is_no_answer():
    assert answered(PoseGaps(BAY), []) == ()
