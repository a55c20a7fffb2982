"""An answer that follows a hand, taken out of the pipe in parts against whole: `pytest tests/bench/test_told_again.py --benchmark-enable`.

Nothing here fails for being slow; what comes out is compared with what was found. The ratio is in `extra_info`.
"""

import pickle
import time

import pytest

from app.jobs.told_again import ToldBefore
from core.sweep.kept import Kept
from tests.bench.ring_bay import ring_bay
from tests.bench.test_kept import answer, edits

ROUNDS = 15


@pytest.mark.parametrize("stations", [4, 16])
def test_an_answer_in_parts_against_the_whole(benchmark, stations):
    project, kept, sends, hears = ring_bay(stations), Kept(), ToldBefore(), ToldBefore()
    hears.whole("followed", sends.shorten("followed", answer(project, kept, "verdict")))
    after, found = edits(project), []

    def next_message():
        found.append(answer(next(after), kept, "verdict"))
        return (pickle.dumps(sends.shorten("followed", found[-1]), pickle.HIGHEST_PROTOCOL),), {}

    def taken(message):
        return hears.whole("followed", pickle.loads(message))  # noqa: S301 - made a line above

    out = benchmark.pedantic(taken, setup=next_message, rounds=ROUNDS if benchmark.enabled else 1)
    assert out == found[-1]
    message = pickle.dumps(found[-1], pickle.HIGHEST_PROTOCOL)
    started = time.perf_counter()
    anew = pickle.loads(message)  # noqa: S301 - as above
    whole = time.perf_counter() - started
    assert anew == out
    own = benchmark.stats.stats.min if benchmark.stats else float("nan")
    benchmark.extra_info.update({"ratio": round(whole / own, 1), "checks": len(out.checks)})
