"""The manual's page of actions is made of the one table of actions."""

from pathlib import Path

from app.actions import ACTIONS, key_page

PAGE = Path(__file__).parents[3] / "docs" / "actions.md"


def test_the_page_is_as_the_table_is():
    assert PAGE.read_text(encoding="utf-8") == key_page(), (
        "write it anew: python -c 'from app.actions import key_page; print(key_page(), end=\"\")'"
    )


def test_no_key_stands_for_two_actions():
    keys = [key for action in ACTIONS for key in action.keys]
    assert len(keys) == len(set(keys))
