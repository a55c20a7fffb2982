"""Memory is searched for cycles seldom inside, and as before afterwards, whatever happens."""

import gc

import pytest

from app.collected_seldom import NEW_ONES, collect_later, collected_seldom


def test_inside_it_is_searched_seldom_and_afterwards_as_before():
    before = gc.get_threshold()
    with collected_seldom():
        assert gc.get_threshold()[0] == NEW_ONES > before[0]
        assert gc.isenabled()
    assert gc.get_threshold() == before


def test_a_command_that_fails_leaves_it_as_it_was():
    before = gc.get_threshold()

    @collected_seldom()
    def command() -> None:
        assert gc.get_threshold()[0] == NEW_ONES
        raise ValueError("broken")

    for _ in range(2):
        with pytest.raises(ValueError, match="broken"):
            command()
    assert gc.get_threshold() == before


class Ring:
    """An object in a cycle: only a search lets go of it."""

    def __init__(self) -> None:
        self.own = self


def test_a_search_that_is_due_waits_until_nothing_is_held():
    begun = []

    def note(phase: str, _told: dict[str, int]) -> None:
        if phase == "start":
            begun.append(gc.isenabled())

    gc.callbacks.append(note)
    try:
        collect_later(held=True)
        for _ in range(3 * gc.get_threshold()[0]):
            Ring()
        within = len(begun)
        collect_later(held=False)
        for _ in range(10):
            Ring()
    finally:
        gc.callbacks.remove(note)
        gc.enable()
    assert within == 0
    assert len(begun) > 0
