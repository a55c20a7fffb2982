"""What is a thing called now? A name that went where just one other came in its place was changed, not deleted. Pure."""

from collections.abc import Sequence


def followed(name: str | None, before: Sequence[str], after: Sequence[str]) -> str | None:
    """`name` where it is still there; what stands in its place where that alone is called otherwise now; else None."""
    if name is None or name in after:
        return name
    if name not in before or len(before) != len(after):
        return None
    place = before.index(name)
    others = [*before[:place], *before[place + 1 :]] == [*after[:place], *after[place + 1 :]]
    return after[place] if others else None
