"""A run while the drive's travel is the wrong way round, as it may be while its numbers are typed."""

import pytest

from app.document.run import Run
from core.model.names import DriveName
from core.model.project import Drive


class Pose:
    """Takes what it is given."""

    def __init__(self, values: dict[DriveName, float]) -> None:
        self.values = values
        self.put = values.update


@pytest.mark.usefixtures("qapp")
def test_a_drive_whose_travel_ends_before_it_starts_runs_all_the_same() -> None:
    drive = Drive(name=DriveName("swing"), unit="deg", start=45.0, end=-45.0, home=-45.0, speed=100.0, moves=())
    pose = Pose({drive.name: -45.0})
    run = Run(pose)
    run.start(drive)
    while run._clock.elapsed() < 2:
        pass
    run._frame()
    assert -45.0 < pose.values[drive.name] <= 45.0
    run.stop()
