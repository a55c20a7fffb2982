"""What the samples are meant to show, by the checker alone: it knows nothing of the program's own answers."""

import json
from pathlib import Path

import pytest

from tests.checker import load

SAMPLES = Path(__file__).parents[3] / "sample_projects"


def breaching_alone(bay, *, step=3):
    """(drive, two bodies) of every pair that one drive by itself brings too close, and the lowest gaps met."""
    return {
        (drive, *seen.pair.key[1:]): seen.gap.value
        for drive in bay.drives.names
        for seen in bay.try_dense(drive, step).values()
        if seen.breach
    }


@pytest.mark.slow
def test_petal_lamp_breaches_alone_and_together_as_its_notes_tell():
    bay = load(SAMPLES / "petal_lamp.bay.json")
    alone = breaching_alone(bay)
    assert set(alone) == {
        ("fold 2", "petal 2", "petal 3"),
        ("fold 5", "mast", "petal 5"),
        ("twist 4", "lead clip", "motor 4"),
        ("fold 1", "mast", "petal 1"),
        ("twist 1", "mast", "petal 1"),
        ("fold 1", "petal 1", "petal 2"),
    }
    touching = {pair for pair, gap in alone.items() if gap <= 0}
    assert {pair[0] for pair in touching} == {"fold 2", "fold 5", "twist 4"}
    assert alone["fold 1", "petal 1", "petal 2"] == pytest.approx(0.96, abs=0.005)
    petals = {("petal 3", "petal 4"), ("petal 4", "petal 5"), ("petal 1", "petal 5")}
    ruled = {seen.pair.key[1:] for seen in bay.try_random(60, 1, polish=False).values() if seen.breach}
    assert ruled & petals == {("petal 3", "petal 4")}
    record = json.loads((SAMPLES / "petal_lamp.bay.json").read_bytes())
    del record["allowed_together"]
    together = {seen.pair.key[1:] for seen in load(record).try_random(60, 1, polish=False).values() if seen.breach}
    assert together - {pair[1:] for pair in alone} == petals
    assert {pair[1:] for pair in alone} < together


def test_clear_bay_is_clear_wherever_it_is_tried():
    bay = load(SAMPLES / "clear_bay.bay.json")
    assert breaching_alone(bay) == {}
    seen = bay.try_random(400, 1)
    assert [s.pair.key for s in seen.values() if not s.clear] == []
    close = sorted(s.gap.value for s in seen.values())[:7]
    assert close[0] == pytest.approx(1.468, abs=0.002)
    assert close[-1] < 2
