"""What went along with what was deleted, in words: "Delete motor, with 2 joints and 1 drive"."""

from collections.abc import Callable

from core.model.deleted import Gone


def with_what_went(text: str, gone: Gone, tr: Callable[[str], str]) -> str:
    """The name of a step, and what went along with it."""
    counted = (
        (len(gone.joints), "1 joint", "{number} joints"),
        (len(gone.drives), "1 drive", "{number} drives"),
        (len(gone.gap_rules) + len(gone.together), "1 rule", "{number} rules"),
    )
    told = [tr(one if count == 1 else many).format(number=count) for count, one, many in counted if count]
    if not told:
        return text
    listed = told[0] if len(told) == 1 else tr("{some} and {last}").format(some=", ".join(told[:-1]), last=told[-1])
    return tr("{text}, with {listed}").format(text=text, listed=listed)
