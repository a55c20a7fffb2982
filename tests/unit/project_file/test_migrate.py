"""The way from older formats to the present one, shown with formats that never were."""

import pytest

from core.model.project import FORMAT_VERSION
from core.project_file.migrate import STEPS, migrate


def test_steps_are_taken_in_order_and_the_version_is_kept_up():
    seen = []

    def to_2(data):
        seen.append(data["baysweep"])
        return {key: value for key, value in data.items() if key != "clearance"} | {"required_gap": data["clearance"]}

    def to_3(data):
        seen.append(data["baysweep"])
        return data | {"required_gap": data["required_gap"] * 10}

    old = {"baysweep": 1, "clearance": 0.5}
    assert migrate(old, found=1, wanted=3, steps={1: to_2, 2: to_3}) == {"baysweep": 3, "required_gap": 5.0}
    assert seen == [1, 2]
    assert old == {"baysweep": 1, "clearance": 0.5}


def test_the_present_format_is_handed_back():
    data = {"baysweep": FORMAT_VERSION}
    assert migrate(data, found=FORMAT_VERSION) is data


def test_a_step_that_is_missing_is_a_key_error():
    with pytest.raises(KeyError):
        migrate({"baysweep": 1}, found=1, wanted=2, steps={})


def test_every_older_format_has_its_step():
    assert set(STEPS) == set(range(1, FORMAT_VERSION))
