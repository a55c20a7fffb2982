"""The file of the project at hand is watched: a change or replacement by another program is told once, one's own saves never."""

import pytest

from app.document.disk import DiskWatch
from app.document.document import Document
from core.model.edit_project import set_notes
from core.project_file.write import write_project
from tests.unit.model.drawings import gate

pytestmark = pytest.mark.usefixtures("qapp")


@pytest.fixture
def watched(tmp_path):
    document = Document()
    watch = DiskWatch(document, document)
    document.show(gate())
    document.save(tmp_path / "gate.bay.json")
    told = []
    watch.changed.connect(lambda: told.append(True))
    return document, watch, told


@pytest.mark.parametrize("replaced", [True, False])
def test_a_change_by_another_program_is_noticed(watched, qtbot, replaced):
    document, _, told = watched
    other = set_notes(gate(), "from elsewhere")
    if replaced:
        write_project(other, document.file)
    else:
        document.file.write_text(document.file.read_text().replace("Lock gate", "Other gate"))
    qtbot.waitUntil(lambda: told == [True])


def test_two_replacements_are_told_each(watched, qtbot):
    document, _, told = watched
    write_project(set_notes(gate(), "one"), document.file)
    qtbot.waitUntil(lambda: told == [True])
    write_project(set_notes(gate(), "two"), document.file)
    qtbot.waitUntil(lambda: told == [True, True])


def test_own_saves_and_repeated_looks_are_not_told(watched, qtbot):
    document, watch, told = watched
    document.change("Note", lambda project: set_notes(project, "mine"))
    document.save(document.file)
    watch.look()
    assert told == []
    write_project(set_notes(gate(), "from elsewhere"), document.file)
    qtbot.waitUntil(lambda: told == [True])
    watch.look()
    watch.look()
    assert told == [True]


def test_a_file_that_goes_is_not_told(watched):
    document, watch, told = watched
    document.file.unlink()
    watch.look()
    assert told == []
