"""Whatever is drawn, the file gives it back: read(write(project)) == project, and the same bytes again."""

import string

import msgspec
from hypothesis import given, settings
from hypothesis import strategies as st

from core.errors import ProjectFileError
from core.model.joints import Bolted, PinSlot, Pivot, Slide
from core.model.project import AllowedTogether, Body, Drive, DriveSpan, GapRule, Move, Project, Section, View
from core.model.rounding import rounded
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Polygon
from core.project_file.read import project_from_bytes
from core.project_file.write import project_to_bytes
from tests.unit.model.drawings import BARRIER_ARM

numbers = st.floats(allow_nan=False, allow_infinity=False) | st.floats(-1000, 1000) | st.integers(-1000, 1000).map(float)
notes = st.just("") | st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
names = notes  # the file keeps names that cannot stand, too: it is written before they are mended
pairs = st.tuples(numbers, numbers)
name_pairs = st.tuples(names, names)


def records(kind, **fields):
    return st.builds(kind, **fields, notes=notes)


def optional(strategy):
    return st.none() | strategy


def few(strategy):
    return st.lists(strategy, max_size=3).map(tuple)


band = {"depth": optional(pairs)}
rings = st.lists(pairs, max_size=5).map(tuple)
shapes = st.one_of(
    records(Disc, centre=pairs, radius=numbers, **band),
    records(Bar, start=pairs, end=pairs, radius=numbers, **band),
    records(Box, centre=pairs, size=pairs, turn=numbers, corner_radius=numbers, **band),
    records(Polygon, points=rings, holes=few(rings), corner_radius=numbers, **band),
    records(Bore, centre=pairs, radius=numbers, wall=numbers, **band),
    records(Frame, centre=pairs, size=pairs, wall=numbers, turn=numbers, **band),
)
pin = {"name": names, "between": name_pairs, "at": pairs, "relief": optional(numbers), "play": numbers}
joints = st.one_of(
    records(Pivot, **pin),
    records(Slide, **pin, along=numbers),
    records(PinSlot, **pin, along=numbers, reach=optional(pairs)),
    records(Bolted, name=names, between=name_pairs),
)
bodies = records(
    Body,
    name=names,
    fixed=st.booleans(),
    depth=pairs,
    shapes=few(shapes),
    outline_tolerance=numbers,
    trust=optional(st.sampled_from(["measured", "typical", "guessed"])),
    view=st.builds(View, colour=optional(notes), hidden=st.booleans(), held=st.booleans()),
)
drives = records(
    Drive,
    **dict.fromkeys(("start", "end", "home", "speed"), numbers),
    name=names,
    unit=st.sampled_from(["deg", "mm"]),
    moves=few(st.builds(Move, section=names, joint=names, ratio=numbers)),
    drawn=optional(numbers),
    stops=optional(pairs),
    pulse=optional(st.tuples(pairs, pairs)),
)
spans = st.builds(DriveSpan, drive=names, start=numbers, end=numbers)
rules = records(
    GapRule,
    section=names,
    between=name_pairs,
    required_gap=optional(numbers),
    required_depth_gap=optional(numbers),
    unchecked=optional(notes),
)
projects = records(
    Project,
    format=st.just(1),
    name=names,
    required_gap=numbers,
    required_depth_gap=numbers,
    sections=few(records(Section, name=names, bodies=few(bodies), joints=few(joints))),
    drives=few(drives),
    gap_rules=few(rules),
    allowed_together=few(records(AllowedTogether, when=spans, keep=spans, reason=notes)),
)


@settings(max_examples=40)
@given(projects)
def test_a_project_comes_back_from_its_file_as_it_is_in_memory(project):
    kept = rounded(project)
    data = project_to_bytes(kept)
    again = project_from_bytes(data, file=None, allow_invalid=True)
    assert again == kept
    assert project_to_bytes(again) == data


@settings(max_examples=40)
@given(projects)
def test_writing_rounds_as_editing_does_and_rounding_is_done_once(project):
    kept = rounded(project)
    assert rounded(kept) is kept
    assert project_to_bytes(project) == project_to_bytes(kept)


@settings(max_examples=40)
@given(projects)
def test_another_reader_of_json_gets_the_same_project(project):
    # msgspec's own decoder is independent of the reader under test
    kept = rounded(project)
    assert msgspec.json.decode(project_to_bytes(kept), type=Project) == kept


@settings(max_examples=40)
@given(projects)
def test_no_line_holds_two_shapes(project):
    lines = project_to_bytes(project).decode().splitlines()
    shapes_drawn = sum(len(body.shapes) for section in project.sections for body in section.bodies)
    joints_drawn = sum(len(section.joints) for section in project.sections)
    assert sum(line.lstrip().startswith('{"kind": ') for line in lines) == shapes_drawn + joints_drawn


ARM = BARRIER_ARM.read_bytes()


@given(
    st.integers(0, len(ARM) - 1),
    st.binary(max_size=3) | st.sampled_from([letter.encode() for letter in string.printable]),
    st.integers(0, 8),
)
def test_a_damaged_file_is_read_or_refused_and_nothing_else(at, put, taken):
    damaged = ARM[:at] + put + ARM[at + taken :]
    try:
        project = project_from_bytes(damaged, file=None)
    except ProjectFileError as refused:
        told, project = str(refused), None
    if project is None:
        assert told.startswith("The project was not opened: ")
    else:
        assert project_from_bytes(project_to_bytes(rounded(project)), file=None) == rounded(project)


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5) | st.sampled_from(["disc", "pivot", "deg"]),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(["kind", "name", "bodies", "shapes", "sections", "depth", "x"]), inner, max_size=3)
    ),
    max_leaves=8,
)


@given(st.sampled_from(["name", "sections", "drives", "gap_rules", "required_gap", "allowed_together"]), json_values)
def test_any_json_value_anywhere_is_read_or_refused_and_nothing_else(key, value):
    whole = {"baysweep": 1, "name": "Lamp", "required_gap": 1, "sections": [], key: value}
    told = None
    try:
        project = project_from_bytes(msgspec.json.encode(whole), file=None, allow_invalid=True)
    except ProjectFileError as refused:
        told = str(refused)
    if told is None:
        assert isinstance(project, Project)
    else:
        assert told.endswith("your file is unchanged.")
