"""Some releases of the Qt binding lost a reference each time a method without an answer was called, and then crashed."""

import sys

from PySide6.QtCore import QObject

CALLS = 200_000


def test_calling_a_void_qt_method_very_often_keeps_the_count_of_none():
    thing = QObject()
    before = sys.getrefcount(None)
    for _ in range(CALLS):
        thing.setObjectName("petal")
    assert thing.objectName() == "petal"
    assert abs(sys.getrefcount(None) - before) < CALLS / 100
