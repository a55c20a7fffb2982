from dataclasses import replace
from functools import cache

import pytest

from core.handover.findings import MOST_ROWS, findings_of, swept
from core.handover.map_choice import maps_that_tell
from core.handover.report import clearance_report
from core.handover.report_html import report_html
from core.handover.timeline_figure import samples_of
from core.sweep.profile import profiles
from core.sweep.run import check_project
from core.sweep.timeline import timeline
from tests.bays import project
from tests.bench.ring_bay import ring_bay
from tests.unit.handover.reports import ORIGIN, swinging
from tests.unit.handover.sheets import FONTS


@cache
def findings():
    return findings_of(swept(ring_bay(4)), origin=ORIGIN, date="2026-01-31")


def test_the_answer_is_that_of_a_check_that_shares_nothing():
    found = findings()
    bare = check_project(ring_bay(4))
    assert replace(found.result, work=bare.work) == bare
    assert found.result.work.boxes == bare.work.boxes
    assert found.result.work.gap_queries == bare.work.gap_queries


def test_only_the_rows_that_are_drawn_are_sampled_and_the_page_is_the_same():
    found = findings()
    everything = profiles(found.project, samples_of(found.project))
    assert len(found.rows) > MOST_ROWS
    sampled = sum(len(row.cells) for row in found.rows)
    assert 0 < sampled < len(everything) / 4
    assert not any(row.cells for row in found.rows[MOST_ROWS:])
    whole = timeline(found.project, everything, found.result).rows
    assert [replace(row, cells={}) for row in found.rows] == [replace(row, cells={}) for row in whole]
    alike = replace(found, rows=whole)
    one, other = (report_html(clearance_report(each, fonts=FONTS), fonts=FONTS) for each in (found, alike))
    assert one == other


def test_maps_are_those_of_a_project_that_is_laid_out_anew():
    found = findings()
    anew = maps_that_tell(found.project, found.result)
    assert [each.drives for each in found.maps] == [each.drives for each in anew]
    for one, other in zip(found.maps, anew, strict=True):
        assert (one.state == other.state).all()
        assert (one.pair == other.pair).all()
        assert (one.pairs, one.left_out) == (other.pairs, other.left_out)


def test_a_table_for_spreadsheets_has_nothing_sampled():
    found = findings_of(swept(project(swinging())), origin=ORIGIN, date="", drawn=False)
    assert (found.rows, found.maps) == ((), ())


@pytest.mark.parametrize("drives", [1, 8, 32])
def test_each_column_of_a_timeline_is_sampled_many_times(drives):
    samples = samples_of(ring_bay(drives // 2) if drives > 1 else project(swinging()))
    assert samples == {1: 240, 8: 240, 32: 48}[drives]


def test_a_bay_without_drives_has_a_report():
    still = project({**swinging(), "drives": []})
    assert clearance_report(findings_of(swept(still), origin=ORIGIN, date=""), fonts=FONTS).blocks
