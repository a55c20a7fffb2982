"""Who asks for gaps at poses while many others do: what all ask for at the same turn is measured in one go.

A question is a generator: it yields rows, each at drive values, is sent their gaps, and returns its answer.
"""

from collections.abc import Generator, Iterable, Mapping, Sequence
from typing import TypeVar

from core.model.names import DriveName
from core.sweep.at_pose import PoseGap, PoseGaps
from core.sweep.plan import Row

Answer = TypeVar("Answer")
Wanted = Sequence[tuple[Row, Mapping[DriveName, float]]]
Asking = Generator[Wanted, Sequence[PoseGap], Answer]


def answered(poses: PoseGaps, questions: Iterable[Asking[Answer]]) -> tuple[Answer, ...]:
    """The answer of each question, which does not depend on what the others ask."""
    answers: dict[int, Answer] = {}
    waiting: list[tuple[int, Asking[Answer], Wanted]] = []
    for number, question in enumerate(questions):
        try:
            waiting.append((number, question, next(question)))
        except StopIteration as told:
            answers[number] = told.value
    while waiting:
        gaps = iter(poses.rows_at([each for _, _, wanted in waiting for each in wanted]))
        asked, waiting = waiting, []
        for number, question, wanted in asked:
            try:
                waiting.append((number, question, question.send([next(gaps) for _ in wanted])))
            except StopIteration as told:
                answers[number] = told.value
    return tuple(answers[number] for number in sorted(answers))
