"""Numbers as the file keeps them: every edit rounds its answer, so that the project in memory equals its file."""

from math import copysign, isfinite

from core.model.leaves import R, change_leaves

DECIMALS = 6
"""Decimals kept of every number, in the file and in memory."""


def rounded(record: R) -> R:
    """Round every float to 1e-6, -0.0 to 0.0; a project so rounded equals what is read back from its file.

    A whole number given for a float becomes one; infinities and NaN are left for `validate` to find.
    """

    def rounding(leaf: object, kind: object, _section: str) -> object:
        if kind is not float or not isinstance(leaf, float | int) or not isfinite(leaf):
            return leaf
        short = round(float(leaf), DECIMALS) + 0.0  # adding 0.0 takes the sign off -0.0
        same = type(leaf) is float and short == leaf and copysign(1.0, leaf) == copysign(1.0, short)
        return leaf if same else short

    return change_leaves(record, rounding)
