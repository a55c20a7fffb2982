import io
import re
from html.parser import HTMLParser

import pypdf
import pytest

from core.handover.page import Figure, Heading, Points, Table, Words
from core.handover.report_html import report_html
from core.handover.report_pdf import report_pdf
from tests.unit.handover.reports import DIGEST, HOSTILE, report_of
from tests.unit.handover.sheets import FONTS

VOID = {"meta", "col", "br", "link", "img"}


class Nesting(HTMLParser):
    """Fails on a tag that closes what is not open; keeps the tags, the links and the words."""

    def __init__(self):
        super().__init__()
        self.open, self.tags, self.words, self.fetched = [], set(), [], []

    def handle_starttag(self, tag, attributes):
        self.tags.add(tag)
        self.fetched += [value for name, value in attributes if name in ("src", "href", "xlink:href") and not value.startswith("#")]
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, _attributes):
        self.tags.add(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, words):
        self.words.append(words)


def read_html(name):
    page = Nesting()
    page.feed(report_html(report_of(name), fonts=FONTS))
    page.close()
    assert page.open == []
    return page


def pages_of(name):
    return [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(report_pdf(report_of(name), fonts=FONTS))).pages]


def blocks_of(name, kind):
    return [block for block in report_of(name).blocks if isinstance(block, kind)]


def test_the_verdict_comes_first_and_names_what_meets():
    first = report_of("breach").blocks[0]
    assert first.weight == "strong"
    assert first.words.startswith("Breach: post meets arm") or first.words.startswith("Breach: arm meets post")
    assert report_of("clear").blocks[0].words.startswith("Clear: ")


def test_every_part_of_a_report_is_there():
    heads = [block.words for block in blocks_of("breach", Heading)]
    assert heads == [
        "Pairs, tightest first",
        "Breaches",
        "Interference timeline",
        "Safe travel",
        "Mechanism",
        "Not checked",
        "What this rests on",
        "Cautions",
        "Bench sheet",
        "Setting the horns",
        "Channels",
        "Where sizes come from",
    ]


def test_a_clear_report_has_no_breaches_but_all_the_rest():
    heads = [block.words for block in blocks_of("clear", Heading)]
    assert "Breaches" not in heads
    assert {"Interference timeline", "Safe travel", "Cautions"} <= set(heads)


def test_the_arm_meets_its_post_where_trigonometry_says():
    """A bar of radius 2 about a pin, a disc of radius 2 at 20 from it: apart by 1 mm until asin(5 / 20) before 90 degrees."""
    table = next(block for block in blocks_of("breach", Table) if block.heads[2] == "Too close")
    (row,) = table.rows
    low, high = (float(word) for word in re.findall(r"[\d.]+", row[2])[:2])
    assert low == pytest.approx(90 - 14.4775, abs=0.011)
    assert high == pytest.approx(90 + 14.4775, abs=0.011)


def test_a_breach_is_drawn_at_its_deepest_with_its_sentence():
    figure = blocks_of("breach", Figure)[0]
    assert "4.00 mm deep" in figure.caption
    assert "The shortest way apart there" in figure.caption


def test_what_was_not_checked_is_told_with_its_reason():
    told = [sentence for block in blocks_of("breach", Points) for sentence in block.sentences]
    assert "printed in one piece (1): bay and arm." in told


def test_cautions_defer_to_local_rules_and_to_competent_persons():
    told = " ".join(sentence for block in blocks_of("clear", Points) for sentence in block.sentences)
    for words in ("Cut the power", "Follow local rules", "competent person", "ISO 13854", "25 mm", "batteries"):
        assert words in told


@pytest.mark.parametrize("name", ["breach", "clear", "hostile"])
def test_html_is_well_nested_and_fetches_nothing(name):
    page = read_html(name)
    assert page.fetched == []
    assert "script" not in page.tags
    assert {"h1", "table", "thead", "figure", "svg", "figcaption"} <= page.tags


def test_hostile_names_are_words_in_html():
    page = read_html("hostile")
    assert "b" not in page.tags
    assert any(HOSTILE in words for words in page.words)


def test_the_digest_of_the_file_stands_on_the_first_page():
    assert DIGEST in pages_of("breach")[0].replace("\n", "")


@pytest.mark.parametrize("name", ["breach", "hostile"])
def test_every_page_is_numbered(name):
    pages = pages_of(name)
    assert len(pages) >= 2
    for number, words in enumerate(pages, start=1):
        assert f"Page {number} of {len(pages)}" in words


def test_pages_are_a4():
    for page in pypdf.PdfReader(io.BytesIO(report_pdf(report_of("breach"), fonts=FONTS))).pages:
        assert [float(side) * 25.4 / 72 for side in page.mediabox[2:]] == pytest.approx([210, 297], abs=0.01)


def test_the_same_report_gives_the_same_bytes():
    report = report_of("breach")
    assert report_html(report, fonts=FONTS) == report_html(report, fonts=FONTS)
    assert report_pdf(report, fonts=FONTS) == report_pdf(report, fonts=FONTS)


def test_words_of_all_blocks_reach_the_pages():
    words = " ".join(" ".join(pages_of("breach")).split())
    for block in blocks_of("breach", Words):
        assert block.words.split(".")[0][:60] in words


def test_travels_that_are_safe_together_stand_beside_those_of_each_drive():
    """The only drive of the arm: its box is what is safe with no others to mind, up to 1 mm before the post."""
    table = next(block for block in blocks_of("breach", Table) if block.heads[-1] == "Safe, all in theirs")
    ((_, travel, _, anywhere, together),) = table.rows
    assert travel == "0 to 120 deg"
    end = 90 - 14.4775
    for told in (anywhere, together):
        assert end - 0.02 <= float(re.findall(r"[\d.]+", told)[1]) <= end
