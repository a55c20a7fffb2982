"""Paints what stands around the cells of the interference timeline: heads, names, axis, legend, and the figures at the right."""

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache

from PySide6.QtCore import QCoreApplication, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QFontMetricsF, QPainter, QPen

from app import theme
from app.theme import Style
from app.timeline import layout
from app.timeline.cells import PALE, paint_cell, paint_undecided
from app.timeline.curve import floor_shown
from app.timeline.layout import Band, Place
from app.timeline.showing import Showing
from core.model.project import Unit
from core.sentences import degree_sign, plain
from core.sentences.numbers import drive_number, drive_value, exact_mm, rounded
from core.sweep.result import Values
from core.sweep.timeline import Row

Flag = Qt.AlignmentFlag
ELLIPSIS = "\N{HORIZONTAL ELLIPSIS}"
TIMES = "\N{MULTIPLICATION SIGN}"
AS_REQUIRED = 3
"""The step of the legend that ends where a pair keeps just what is asked."""
LEGEND_UNDER, LEGEND_HEIGHT = 5, 7
"""Pixels between the last row, whose name may end there, and the legend's heat, and how high that is."""
CAP = 2
"""Pixels by which the end of a line may reach beyond it."""
NOTE_APART = 12
"""Pixels between the note over the open band and the next head."""
LEFT, RIGHT, CENTRE = Flag.AlignLeft | Flag.AlignVCenter, Flag.AlignRight | Flag.AlignVCenter, Flag.AlignCenter


def tr(text: str) -> str:
    """The translation of a text of the timeline."""
    return QCoreApplication.translate("Timeline", text)


def write(
    painter: QPainter,
    area: QRectF,
    text: str,
    *,
    colour: str,
    size: int = theme.DATA,
    align: Flag = LEFT,
    weight: QFont.Weight = theme.REGULAR,
) -> None:
    """Text on one line inside `area`, cut with an ellipsis where it does not fit."""
    painter.setFont(theme.font(size, weight=weight))
    painter.setPen(QColor(colour))
    painter.drawText(area, align, painter.fontMetrics().elidedText(text, Qt.TextElideMode.ElideRight, int(area.width()) + 1))


def value_text(showing: Showing, drive: str, value: float) -> str:
    """A drive's value with its unit, "60.0°"."""
    return drive_value(value, unit_in(showing, drive), tr=degree_sign(plain))


def unit_in(showing: Showing, drive: str) -> Unit:
    """The unit of a drive by its name."""
    return next((record.unit for record in showing.drives if record.name == drive), "deg")


def signed(value: float) -> str:
    """A gap with a true minus sign, two decimals; rounded down while it is apart, as sentences tell it. A dash where there is none."""
    if not math.isfinite(value):
        return "\N{EN DASH}"
    return rounded(value, places=2, to="down" if value > 0 else "near").replace("-", "\N{MINUS SIGN}")


def paint_heads(painter: QPainter, showing: Showing) -> None:
    """The title, the drives' names over their bands, and the heads of the figures."""
    style, height = showing.style, showing.rows_top
    title = QRectF(layout.MARGIN, 4, showing.names_width, height - 4)
    write(painter, title, tr("Interference timeline"), colour=style.ink, size=theme.TEXT, weight=theme.SEMIBOLD)
    for band in showing.bands:
        area = QRectF(band.left, 4, band.width, height - 4)
        weight = theme.SEMIBOLD if band.opened else theme.REGULAR
        align = LEFT if band.opened else CENTRE
        ink = style.ink if band.opened else style.quiet_text
        if band.opened or QFontMetricsF(theme.font(theme.DATA)).horizontalAdvance(band.drive) <= band.width:
            write(painter, area, band.drive, colour=ink, align=align, weight=weight)
        else:
            _write_narrow(painter, QRectF(band.left, 0, band.width, height), band.drive, colour=ink)
        if band.opened:
            step = value_text(showing, band.drive, (band.end - band.start) / band.columns)
            note = tr("each column {step}: the lowest gap in it").format(step=step)
            name_width = painter.fontMetrics().horizontalAdvance(band.drive) + 16
            if painter.fontMetrics().horizontalAdvance(note) + name_width + NOTE_APART < band.width:
                write(painter, area.adjusted(0, 0, -NOTE_APART, 0), note, colour=style.quiet_text, align=RIGHT, size=theme.RULER)
    together = QRectF(showing.together_left - 8, 4, layout.TOGETHER_WIDTH + 16, height - 4)
    write(painter, together, tr("together"), colour=style.quiet_text, align=CENTRE)
    left, right = showing.columns_left, showing.size[0] - layout.MARGIN
    area = QRectF(left, 4, right - left, height - 4)
    write(painter, area, tr("lowest gap, mm"), colour=style.quiet_text)
    write(painter, area.adjusted(layout.WHERE_LEFT, 0, 0, 0), tr("where"), colour=style.quiet_text)
    write(painter, area, tr("proved at least"), colour=style.quiet_text, align=RIGHT)


def paint_bare(painter: QPainter, showing: Showing) -> None:
    """What to do for rows to come, where the answer has none."""
    if showing.bare:
        area = QRectF(layout.MARGIN, showing.rows_top, showing.bands_right - layout.MARGIN, layout.ROW_HEIGHT)
        write(
            painter, area, tr("No pair to check yet. Each pair that a drive moves will have a row here."), colour=showing.style.quiet_text
        )


def _write_narrow(painter: QPainter, area: QRectF, name: str, *, colour: str) -> None:
    """A name over a band too narrow for it: small, and broken at a blank into two lines."""
    first, _, rest = name.rpartition(" ")
    half = area.height() / 2
    for number, part in enumerate((first, rest) if first else (rest,)):
        line = QRectF(area.left() - 1, area.top() + number * half if first else area.top() + 4, area.width() + 2, half + 1)
        write(painter, line, part, colour=colour, size=theme.RULER, align=CENTRE)


def paint_name(painter: QPainter, showing: Showing, row: Row, top: float, *, selected: bool) -> None:
    """The pair at the left; the selected one tells what its open row shows."""
    style = showing.style
    area = QRectF(layout.MARGIN, top, showing.names_width - 4, layout.ROW_HEIGHT)
    write(painter, area, showing.name_of(row), colour=style.ink, size=theme.DATA, weight=theme.SEMIBOLD if selected else theme.REGULAR)
    if selected:
        told = tr("gap curve, mm \N{MIDDLE DOT} thin: proved") if floor_shown(row) else tr("gap curve, mm")
        write(painter, area.translated(0, 16), told, colour=style.quiet_text, size=theme.RULER)
        if showing.before is not None:
            write(painter, area.translated(0, 30), tr("dotted: before the last edit"), colour=style.quiet_text, size=theme.RULER)
        painter.fillRect(QRectF(0, top + 1, 3, layout.OPEN_ROW_HEIGHT - 6), QColor(style.ink))


def paint_figures(painter: QPainter, showing: Showing, row: Row, top: float, *, selected: bool) -> None:
    """Lowest gap, where, proved at least; for the selected pair also its breach and the gap here."""
    style = showing.style
    left, right = showing.columns_left, showing.size[0] - layout.MARGIN
    weight = theme.SEMIBOLD if selected else theme.REGULAR
    short = row.verdict == "breach" or (row.verdict is None and row.group == "alone")
    lowest = QRectF(left, top, 46, layout.ROW_HEIGHT)
    far = row.lead is not None and row.lead.far and row.floor is not None
    shown = f"> {rounded((row.floor or 0.0) - row.tolerance, places=0, to='down')}" if far else signed(row.judged)
    painter.setOpacity(PALE if showing.outdated else 1.0)
    write(painter, lowest, shown, colour=style.breach_text if short else style.ink, align=RIGHT, weight=theme.SEMIBOLD if short else weight)
    area = QRectF(left + layout.WHERE_LEFT, top, right - left - layout.WHERE_LEFT - layout.FLOOR_WIDTH, layout.ROW_HEIGHT)
    write(painter, area, whole_parts(where_text(showing, row), area.width()), colour=style.ink)
    painter.setOpacity(1.0)
    proved = tr("not yet") if showing.outdated else floor_text(row)
    write(
        painter,
        QRectF(right - layout.FLOOR_WIDTH, top, layout.FLOOR_WIDTH, layout.ROW_HEIGHT),
        proved,
        colour=style.quiet_text,
        align=RIGHT,
    )
    if selected and not showing.outdated:
        write(painter, QRectF(left, top + 16, right - left, 15), breach_text(showing, row), colour=style.quiet_text)


def paint_here(painter: QPainter, showing: Showing, top: float) -> None:
    """The selected pair's gap at the pose on the board, under its other figures."""
    left, right = showing.columns_left, showing.size[0] - layout.MARGIN
    lead = showing.row.lead if showing.row is not None and not showing.outdated else None
    told = lead is not None and bool(lead.breaches)
    area = QRectF(left, top + (31 if told else 16), right - left, 16)
    write(painter, area, here_text(showing), colour=showing.style.ink, weight=theme.MEDIUM)


def where_text(showing: Showing, row: Row) -> str:
    """The drives that the lowest gap is reached with: those that move the pair and are not at home."""
    homes = {drive.name: drive.home for drive in showing.drives}
    at: Values = tuple((drive, value) for drive, value in row.at if value != homes.get(drive))
    if row.lead is not None and row.lead.far:
        return tr("everywhere")
    each = tr("{drive} at {value}")
    told = ", ".join(each.format(drive=drive, value=minus(value_text(showing, drive, value))) for drive, value in at)
    return told or tr("all at home")


def minus(text: str) -> str:
    """A number with a true minus sign."""
    return text.replace("-", "\N{MINUS SIGN}")


def whole_parts(told: str, width: float) -> str:
    """As many parts of a list as fit into `width` pixels, and an ellipsis for the rest: a number cut short reads as another."""
    metrics = QFontMetricsF(theme.font(theme.DATA))
    parts = told.split(", ")
    for kept in range(len(parts), 1, -1):
        shown = ", ".join([*parts[:kept], *([ELLIPSIS] if kept < len(parts) else [])])
        if metrics.horizontalAdvance(shown) <= width:
            return shown
    return parts[0] if len(parts) == 1 else f"{parts[0]}, {ELLIPSIS}"


def floor_text(row: Row) -> str:
    """What is proved of the row: its floor, or that there is none."""
    if row.verdict is None:
        return tr("not yet")
    return "\N{EN DASH}" if row.floor is None else minus(rounded(row.floor - row.tolerance, places=3, to="down"))


def breach_text(showing: Showing, row: Row) -> str:
    """Where the selected pair's breach begins and ends, along the drive of its lowest gap."""
    check = row.lead
    if check is None or not check.breaches:
        return ""
    worst = min(check.breaches, key=lambda breach: breach.lowest_gap)
    drive = check.drives[0]
    unit = unit_in(showing, drive)
    spans = [(tr("breach {low} to {high}"), worst.start, worst.end)]
    if worst.contact:
        spans.append((tr("contact {low} to {high}"), *worst.contact))
    # Outward, as the report tells them. The room is short: millimetres are written once, at the end.
    told = [words.format(low=drive_number(low, to="down"), high=_high(high, unit)) for words, low, high in spans]
    return minus(" \N{MIDDLE DOT} ".join(told)) + (" mm" if unit == "mm" else "")


def _high(value: float, unit: Unit) -> str:
    return drive_number(value, to="up") if unit == "mm" else drive_value(value, unit, to="up", tr=degree_sign(plain))


def here_text(showing: Showing) -> str:
    """The selected pair's gap at the pose on the board."""
    band = showing.open_band()
    if band is None or showing.here is None:
        return ""
    value = minus(value_text(showing, band.drive, showing.values.get(band.drive, band.home)))
    taken = showing.row.taken if showing.row is not None else 0.0
    told = tr("here, at {value}: {gap} mm, with {taken} taken off") if taken else tr("here, at {value}: {gap} mm")
    return told.format(value=value, gap=signed(showing.here - taken), taken=exact_mm(taken, plain))


def paint_divider(painter: QPainter, showing: Showing, place: Place, top: float) -> None:
    """The line between two groups of rows with what the next one has in common."""
    style = showing.style
    area = QRectF(layout.MARGIN, top, showing.bands_right - layout.MARGIN, place.height)
    write(painter, area, place.heading, colour=style.breach_text, size=theme.RULER)
    left = layout.MARGIN + painter.fontMetrics().horizontalAdvance(place.heading) + 8
    pen = QPen(QColor(style.rule), 1.0)
    pen.setDashPattern([3, 3])
    painter.setPen(pen)
    middle = round(top + place.height / 2) + 0.5
    painter.drawLine(QPointF(left, middle), QPointF(showing.size[0] - layout.MARGIN, middle))


def paint_foot(painter: QPainter, showing: Showing) -> None:
    """The legend of heat, in multiples of what each pair is to keep, and the axis with each drive's home."""
    style, top = showing.style, showing.rows_bottom
    painter.fillRect(QRectF(0, top, showing.size[0], layout.FOOT_HEIGHT), QColor(style.field))
    _legend(painter, style, top)
    for band in showing.bands:
        painter.setPen(QPen(QColor(style.ink), 1.0))
        painter.drawLine(QPointF(band.left, top + 3.5), QPointF(band.right, top + 3.5))
        painter.setBrush(QColor(style.field))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.drawEllipse(QPointF(band.x_of(band.home), top + 3.5), 2.6, 2.6)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
    _signs(painter, showing, top)
    _rest(painter, showing)


def _rest(painter: QPainter, showing: Showing) -> None:
    """What is not seen: the rows below, and the pairs that are not checked."""
    style, area = showing.style, rest_area(showing)
    first, rows = showing.hidden_from(), showing.timeline
    if first < len(rows.rows):
        told = tr("{number} more pairs, all clear") if first >= rows.clear_from else tr("{number} more pairs")
        write(painter, area, told.format(number=len(rows.rows) - first), colour=style.quiet_text)
    if showing.unchecked:
        told = tr("{number} not checked, and why").format(number=showing.unchecked)
        write(painter, area, told, colour=style.proved_text, align=RIGHT)


def rest_area(showing: Showing) -> QRectF:
    """Where the foot tells what is not seen."""
    left = showing.columns_left
    return QRectF(left, showing.rows_bottom + 6, showing.size[0] - layout.MARGIN - left, 16)


def _signs(painter: QPainter, showing: Showing, top: int) -> None:
    """What the signs in the cells mean, beside the band whose ticks are written, as far as there is room."""
    opened = showing.open_band()
    spans: list[tuple[float, float]] = [(showing.bands_left, showing.bands_right + layout.TOGETHER_WIDTH)]
    if opened is not None:
        spans = [(showing.bands_left, opened.left - 22), (opened.right + 22, showing.bands_right + layout.TOGETHER_WIDTH)]
    left, right = max(spans, key=lambda span: span[1] - span[0])
    painter.setFont(theme.font(theme.RULER))
    for sign, text in (("home", tr("home")), ("undecided", tr("undecided")), ("still", tr("drive does not move this pair"))):
        width = 24 + painter.fontMetrics().horizontalAdvance(text) + 4
        if left + width > right:
            return
        area = QRectF(left, top + 9, 18, 14)
        _sign(painter, showing.style, area, sign)
        write(painter, area.adjusted(24, 0, width, 0), text, colour=showing.style.quiet_text, size=theme.RULER)
        left += width + 12


def _sign(painter: QPainter, style: Style, area: QRectF, sign: str) -> None:
    middle = round(area.center().y()) + 0.5
    if sign == "home":
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(style.ink), 1.0))
        painter.setBrush(QColor(style.field))
        painter.drawEllipse(QPointF(area.right() - 4, middle), 2.6, 2.6)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
    elif sign == "undecided":
        painter.fillRect(area.adjusted(0, 3, 0, -2), QColor(style.heat[0]))
        paint_undecided(painter, style, area.adjusted(0, 3, 0, -2))
    else:
        painter.setPen(QPen(QColor(style.rule), 1.0))
        painter.drawLine(QPointF(area.left(), middle), QPointF(area.right(), middle))


def _ticks(painter: QPainter, showing: Showing, band: Band, top: int) -> None:
    here = showing.values.get(band.drive, band.home)
    flag = flag_area(showing, band, band.x_of(here))
    taken = [flag] if here != band.home else []
    painter.setFont(theme.font(theme.RULER))
    painter.setPen(QColor(showing.style.quiet_text))
    for x, width, text in _tick_words(band, unit_in(showing, band.drive), tr("home")):
        # A value at the left end would run into the legend of heat.
        area = QRectF(max(x - width / 2, showing.bands_left), top + 9, width, 14)
        if not any(area.adjusted(-8, 0, 8, 0).intersects(other) for other in taken):
            painter.drawText(area, CENTRE, text)
            taken.append(area)


@lru_cache(maxsize=16)
def _tick_words(band: Band, unit: Unit, home: str) -> tuple[tuple[float, int, str], ...]:
    """The pixel, width and words of each mark under a band; kept, since they stand while its drive runs."""
    metrics = QFontMetrics(theme.font(theme.RULER))
    values = layout.round_ticks(band.start, band.end, pixels=band.width)
    marks = [(band.home, home), *((value, minus(drive_value(value, unit, tr=degree_sign(plain)))) for value in values)]
    return tuple((band.x_of(value), metrics.horizontalAdvance(text), text) for value, text in marks)


def _legend(painter: QPainter, style: Style, top: int) -> None:
    left, width = layout.MARGIN, 18
    for step in range(1, 8):
        paint_cell(painter, style, QRectF(left + (step - 1) * width, top + LEGEND_UNDER, width, LEGEND_HEIGHT), step)
    half = "\N{VULGAR FRACTION ONE HALF}"
    marks: Sequence[str] = (f"4{TIMES}", f"2{TIMES}", f"1{TIMES}", f"{half}{TIMES}", "0", f"\N{MINUS SIGN}{half} mm")
    for place, text in enumerate(marks, start=1):
        area = QRectF(left + place * width - 9, top + 11, 18, 14)
        if place == len(marks):
            area = area.adjusted(3, 0, 30, 0)
        bold = place == AS_REQUIRED
        align = LEFT if place == len(marks) else CENTRE
        colour = style.ink if bold else style.quiet_text
        write(painter, area, text, colour=colour, size=theme.RULER, align=align, weight=theme.SEMIBOLD if bold else theme.REGULAR)
    mark = QRectF(left + AS_REQUIRED * width - 0.75, top + LEGEND_UNDER - 1, 1.5, LEGEND_HEIGHT + 2)
    painter.fillRect(mark, QColor(style.ink))


def legend_area(showing: Showing) -> QRectF:
    """Where the legend of heat stands."""
    return QRectF(layout.MARGIN, showing.rows_bottom, layout.LEAST_NAMES - layout.NAMES_APART, layout.FOOT_HEIGHT)


def legend_words() -> str:
    """What the legend's numbers are multiples of."""
    told = tr("Heat: the gap against what the pair is to keep. {once} is just that, contact is hatched, the last step is over 0.5 mm deep.")
    return told.format(once=f"1{TIMES}")


def paint_cursor(painter: QPainter, showing: Showing) -> None:
    """Where the drives are: a line through the open band with its value, short marks on the others; the ghost's column dashed."""
    style = showing.style
    for band in showing.bands:
        if band.opened:
            _ticks(painter, showing, band, showing.rows_bottom)
        value = showing.values.get(band.drive, band.home)
        x = cursor_at(showing, band)
        foot = showing.rows_bottom + 3
        if band.opened and value != band.home:
            painter.setPen(QPen(QColor(style.ink), 1.5))
            painter.drawLine(QPointF(x, showing.rows_top), QPointF(x, foot + 6))
            _flag(painter, showing, band, x)
        elif value != band.home:
            painter.setPen(QPen(QColor(style.ink), 1.5))
            painter.drawLine(QPointF(x, foot - 5), QPointF(x, foot + 6))
        if showing.column and showing.column[0] == band.drive:
            pen = QPen(QColor(style.ink), 1.0)
            pen.setDashPattern([2, 2])
            painter.setPen(pen)
            ghost = round(band.x_of(showing.column[1])) + 0.5
            painter.drawLine(QPointF(ghost, showing.rows_top), QPointF(ghost, foot))


def cursor_at(showing: Showing, band: Band) -> float:
    """The pixel along a band at which its drive stands."""
    return round(band.x_of(showing.values.get(band.drive, band.home))) + 0.5


def moving_areas(showing: Showing) -> Iterator[QRectF]:
    """Where what `paint_cursor` and `paint_here` draw may differ from one pose to the next."""
    left, foot = showing.bands_left, showing.rows_bottom
    yield QRectF(left - 8, foot - 4, showing.size[0] - left + 8, showing.size[1] - foot + 4)  # the last value runs over the bands' end
    for band in showing.bands:
        if band.opened:
            x = band.x_of(showing.values.get(band.drive, band.home))
            yield QRectF(x - 3, showing.rows_top - CAP, 6, foot - showing.rows_top + CAP)
    for place, top in showing.visible():
        if place.row is not None and place.row == showing.selected:
            yield QRectF(showing.columns_left, top, showing.size[0] - showing.columns_left, place.height)


def flag_area(showing: Showing, band: Band, x: float) -> QRectF:
    """Where the value of the drive in hand is written under pixel `x`."""
    width = QFontMetricsF(theme.font(theme.DATA, weight=theme.SEMIBOLD)).horizontalAdvance(_here(showing, band)) + 10
    left = min(max(x - width / 2, showing.bands_left), showing.bands_right - width)
    return QRectF(left, showing.rows_bottom + 8, width, 16)


def _here(showing: Showing, band: Band) -> str:
    return minus(value_text(showing, band.drive, showing.values.get(band.drive, band.home)))


def _flag(painter: QPainter, showing: Showing, band: Band, x: float) -> None:
    area, text = flag_area(showing, band, x), _here(showing, band)
    painter.fillRect(area, QColor(showing.style.ink))
    write(painter, area, text, colour=showing.style.board, align=CENTRE, weight=theme.SEMIBOLD)
