"""Older formats of the file -> the present one, a step a version."""

from collections.abc import Callable, Mapping
from types import MappingProxyType

from core.model.project import FORMAT_VERSION

Json = dict[str, object]
Step = Callable[[Json], Json]

STEPS: Mapping[int, Step] = MappingProxyType({})
"""Version -> the step from it to the next. Version 1 is the first, so there is none yet; each new version adds one."""


def migrate(data: Json, *, found: int, wanted: int = FORMAT_VERSION, steps: Mapping[int, Step] = STEPS) -> Json:
    """Take the decoded file from version `found` to `wanted`, a step at a time; the key `baysweep` is set here.

    A version with no step on the way is a KeyError of that version. Where found is wanted the data is handed back.
    """
    for version in range(found, wanted):
        data = {**steps[version](data), "baysweep": version + 1}
    return data
