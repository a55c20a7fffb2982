"""Numbers that go along with a hand, in their halo: `pytest tests/bench/test_letters.py --benchmark-enable`.

Nothing here fails for being slow; the picture is as large as the words. The ratio is in `extra_info`.
"""

import time
from statistics import median

import pytest

from app import theme
from app.board import paint
from app.theme import LIGHT

ROUNDS = 60


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("ratio", [1.0, 2.0])
def test_a_number_never_written_before_against_one_halo_for_all_of_it(benchmark, monkeypatch, ratio):
    theme.load_fonts()
    numbers = [f"{1.0 + 0.373 * step:.3f} mm" for step in range(2 * ROUNDS + 2)]

    def write():
        return paint._in_halo(numbers.pop(), 13.0, LIGHT.ink, LIGHT.board, ratio, strong=True)

    write()
    picture, _ = benchmark.pedantic(write, rounds=ROUNDS if benchmark.enabled else 2)
    assert picture.width() > ratio * paint._measured(numbers[0], 13.0, strong=True)[0] > 0
    monkeypatch.setattr(paint, "_apart", lambda words, _face: [(0.0, words)])
    took = []
    for _ in range(ROUNDS):
        begun = time.perf_counter()
        write()
        took.append(time.perf_counter() - begun)
    paint._in_halo.cache_clear()
    own = benchmark.stats.stats.median if benchmark.stats else float("nan")
    benchmark.extra_info.update({"ratio": round(median(took) / own, 1)})
