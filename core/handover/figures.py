"""Figures of a report: a breach at its deepest pose, with what is enlarged beside the whole section."""

from core.drawing.detail import LETTER, Look, detail_view, least_spot, magnification, spot_circle, spot_of
from core.drawing.display_list import Text
from core.drawing.extent import Extent
from core.drawing.gap_mark import mark_of
from core.drawing.lines import UNIT_ON_PAPER
from core.drawing.section import body_paints, draw_section
from core.drawing.sheet import Sheet
from core.drawing.slabs import section_slabs
from core.drawing.standing import Standing
from core.handover.fonts import Fonts
from core.handover.posed import Values, posed_section
from core.handover.scale import bar_length, scale_bar
from core.model.project import Project, Section
from core.motion.linkage import Linkage
from core.sweep.at_pose import PoseGap

FIGURE_WIDTH = 170.0
"""Width of every figure, mm: an A4 page less its margins."""

_SECTION_WIDTH, _HIGHEST, _LOWEST = 106.0, 88.0, 72.0
_DETAIL_RADIUS = 104.0
_DETAIL_AT = 142.0
_SEEN = 10.0
"""Drawing units that a gap or overlap is to have in the detail."""

_MOST_CLOSER = 40.0
"""How many times closer than usual the detail may come to show it."""

_FOOT = 9.0
_AIR = 4.0


def breach_figure(
    project: Project,
    section: Section,
    values: Values,
    gap: PoseGap,
    *,
    linkage: Linkage,
    fonts: Fonts,
    standing: Standing | None = None,
) -> Sheet:
    """`section` at `values` with the dimension of `gap` and, at the right, its narrow spot enlarged in a circle.

    standing: of the section's slabs, where several figures are made of it.
    """
    standing = Standing(section_slabs(section)) if standing is None else standing
    slabs = standing.slabs
    poses = posed_section(project, section, values, linkage=linkage).poses
    pair = frozenset(gap.between)
    mark = mark_of(gap)
    plain = standing.extent(poses) or (0.0, 0.0, 1.0, 1.0)
    scale = _filling(plain)
    unit = UNIT_ON_PAPER / scale
    # The gap is dimensioned in the detail; in the small drawing its place is enough.
    drawing = draw_section(section, poses, unit=unit, selected=pair, names=False, symbols=False, standing=standing)
    least = least_spot(gap.gap, unit=unit, radius=_DETAIL_RADIUS, seen=_SEEN, closer=_MOST_CLOSER)
    spot = spot_of(mark, slabs, poses, unit=unit, radius=_DETAIL_RADIUS, least=least)
    wide, high = scale * (plain[2] - plain[0]), scale * (plain[3] - plain[1])
    height = max(_LOWEST, high + 2.0 * _AIR) + _FOOT
    at = ((_SECTION_WIDTH - wide) / 2.0 - scale * plain[0], _FOOT + (height - _FOOT - high) / 2.0 - scale * plain[1])
    middle = ((_DETAIL_AT - at[0]) / scale, (_FOOT + (height - _FOOT) / 2.0 - 2.0 - at[1]) / scale)
    looks = body_paints(section)
    look = Look(lambda slab: looks[slab.body], selected=pair)
    detail = detail_view(mark, spot, slabs, poses, at=middle, radius=_DETAIL_RADIUS, unit=unit, look=look, captions=False)
    items = standing.placed((*drawing.items, *spot_circle(spot, unit=unit), *detail), scale=scale, at=at)
    top = _FOOT + (height - _FOOT) / 2.0 - 2.0 + _DETAIL_RADIUS * UNIT_ON_PAPER
    times = magnification(spot, unit=unit, radius=_DETAIL_RADIUS)
    head = Text((_DETAIL_AT, top + 3.4), f"{LETTER}, {times:g} : 1 of the drawing beside it", 12.0, "quiet")
    number = Text((_DETAIL_AT, 3.4), mark.words, 16.0, "breach" if mark.short else "ink", strong=True)
    bar = scale_bar((_SECTION_WIDTH, 1.0), scale=scale)
    name = fonts.cut(section.name, size=12.0 * UNIT_ON_PAPER, width=_SECTION_WIDTH - bar_length(scale) * scale - _AIR)
    return Sheet(FIGURE_WIDTH, height, (*items, *bar, head, number, Text((0.0, 2.6), name, 12.0, "quiet", "left")))


def _filling(reach: Extent) -> float:
    """The scale at which the section fills its place; a figure has a scale bar, so it need not be a scale of drawings."""
    wide, high = max(reach[2] - reach[0], 1e-6), max(reach[3] - reach[1], 1e-6)
    return min((_SECTION_WIDTH - 2.0 * _AIR) / wide, (_HIGHEST - 2.0 * _AIR) / high)
