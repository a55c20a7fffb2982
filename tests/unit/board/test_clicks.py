"""Clicks at one place go down through the bodies that lie there, and a drag takes what such a click picked."""

from PySide6.QtCore import QPointF

from app.board.clicks import NOBODY, Clicks

PLACE, ELSEWHERE = QPointF(10, 10), QPointF(60, 10)
UNDER = ("lid", "arm", "base")


class Hand:
    """Clicks, with what they pick as the selection."""

    def __init__(self) -> None:
        self.clicks, self.selected = Clicks(), frozenset()

    def click(self, at=PLACE, under=UNDER, *, alt=False, double=False) -> str:
        self.clicks.press(at, under, self.selected, double=double)
        picked = self.clicks.click(beneath=alt)
        self.selected = frozenset({picked} - {NOBODY})
        return picked

    def drag(self, at=PLACE, under=UNDER) -> str:
        return self.clicks.press(at, under, self.selected, double=False)


def test_clicks_at_one_place_go_down_and_round():
    hand = Hand()
    assert [hand.click() for _ in range(4)] == ["lid", "arm", "base", "lid"]


def test_a_click_elsewhere_begins_at_the_top_again():
    hand = Hand()
    assert [hand.click(), hand.click(ELSEWHERE), hand.click(ELSEWHERE), hand.click()] == ["lid", "lid", "arm", "lid"]


def test_a_trembling_hand_clicks_at_the_same_place():
    hand = Hand()
    assert [hand.click(), hand.click(PLACE + QPointF(2, -2))] == ["lid", "arm"]


def test_a_double_click_keeps_what_its_first_press_picked():
    hand = Hand()
    assert [hand.click(), hand.click(double=True)] == ["lid", "lid"]
    assert [hand.click(), hand.click(double=True)] == ["arm", "arm"]


def test_alt_takes_the_next_beneath_at_once_however_fast():
    hand = Hand()
    assert [hand.click(alt=True), hand.click(alt=True, double=True), hand.click(alt=True)] == ["arm", "base", "lid"]


def test_a_click_beside_all_picks_nobody():
    hand = Hand()
    assert [hand.click(), hand.click(under=()), hand.click()] == ["lid", NOBODY, "lid"]


def test_a_lone_body_stays_picked():
    hand = Hand()
    assert [hand.click(under=("arm",)) for _ in range(2)] == ["arm", "arm"]
    assert hand.click(under=("arm",), alt=True) == "arm"


def test_what_was_picked_otherwise_does_not_go_down():
    hand = Hand()
    hand.click()
    hand.selected = frozenset({"base"})
    assert hand.click() == "lid"


def test_a_drag_takes_the_body_beneath_that_was_picked_there():
    hand = Hand()
    hand.click()
    hand.click()
    assert hand.drag() == "arm"


def test_a_drag_takes_the_topmost_where_a_body_beneath_was_picked_by_itself():
    hand = Hand()
    assert hand.click(ELSEWHERE, ("base",)) == "base"
    assert hand.drag() == "lid"
