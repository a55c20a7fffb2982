"""Numbers as words: rounded to the safe side wherever they claim safety, always with their unit."""

import math
from collections.abc import Callable, Iterable
from typing import Literal

from core.model.names import DriveName
from core.model.project import Project, Unit
from core.sweep.result import Values

Translator = Callable[[str], str]
Rounding = Literal["near", "down", "up"]

# A number this near to a rounded one is that one: 0.29 * 100 is 28.999999999999996.
_SLACK = 1e-6


def plain(text: str) -> str:
    """The translator that leaves the English as it is."""
    return text


def degree_sign(tr: Translator) -> Translator:
    """Wrap `tr` so that degrees show their sign, as windows do: "64°" instead of "64 deg"."""

    def translate(text: str) -> str:
        return tr("{value}\N{DEGREE SIGN}") if text == "{value} deg" else tr(text)

    return translate


def rounded(value: float, *, places: int, to: Rounding = "near") -> str:
    """`value` with `places` decimals, never "-0.00"; `down` and `up` never pass it by more than a millionth of a step."""
    scaled = value * 10**places
    if to == "down":
        steps = math.floor(scaled + _SLACK)
    elif to == "up":
        steps = math.ceil(scaled - _SLACK)
    else:
        steps = round(scaled)
    return f"{(steps + 0) / 10**places:.{places}f}"


def _trimmed(text: str) -> str:
    return text.rstrip("0").rstrip(".") if "." in text else text


def mm(value: float, *, to: Rounding = "near", tr: Translator = plain) -> str:
    """A length with two decimals, "1.21 mm"; "20 um" would never be read, so small ones stay in mm."""
    return tr("{value} mm").format(value=rounded(value, places=2, to=to))


def judged_number(gap: float) -> str:
    """A lowest gap for a table, without its unit: a gap rounded down, an overlap as sentences tell it."""
    return rounded(gap, places=2, to="down" if gap >= 0 else "near")


def gap_mm(gap: float, tr: Translator) -> str:
    """A lowest gap that was found, "-0.16 mm", in the hundredths that tables and the other sentences tell of it."""
    return tr("{value} mm").format(value=judged_number(gap))


def exact_mm(value: float, tr: Translator) -> str:
    """A length that the user typed: two decimals, or as many as it has, up to six: "1.00 mm", "0.125 mm"."""
    fine = _trimmed(rounded(value, places=6))
    coarse = rounded(value, places=2)
    return tr("{value} mm").format(value=fine if float(fine) != float(coarse) else coarse)


def proved_mm(value: float, *, required: float, touch: float, tr: Translator) -> str:
    """A proved gap rounded down, with as many decimals as it takes not to fall below a `required` gap that it meets.

    A value short of `required` by no more than `touch` counts as met and reads as `required`.
    """
    if required - touch <= value <= required:
        return exact_mm(required, tr)
    for places in range(2, 6):
        text = rounded(value, places=places, to="down")
        if value < required or float(text) >= required:
            return tr("{value} mm").format(value=text)
    return exact_mm(required, tr)


def drive_number(value: float, *, to: Rounding = "near") -> str:
    """A drive's value without its unit: at most two decimals, "31.8", "64"."""
    return _trimmed(rounded(value, places=2, to=to))


def drive_value(value: float, unit: Unit, *, to: Rounding = "near", tr: Translator) -> str:
    """A drive's value with its unit: "31.8 deg", "-12.25 mm"."""
    return tr("{value} deg" if unit == "deg" else "{value} mm").format(value=drive_number(value, to=to))


def unit_of(project: Project, drive: DriveName) -> Unit:
    """The unit of a drive by its name; "deg" where the project has no such drive."""
    return next((each.unit for each in project.drives if each.name == drive), "deg")


def at_values(values: Values, project: Project, tr: Translator) -> str:
    """Where all drives stand: "fold 3 at 50 deg with twist 3 at 9 deg and twist 4 at -9 deg"; empty for no drives."""
    first, *rest = _each_at(values, project, tr) or [""]
    return tr("{first} with {rest}").format(first=first, rest=listed(rest, tr)) if rest else first


def at_list(values: Values, project: Project, tr: Translator) -> str:
    """The same as a plain list: "fold 3 at 50 deg, twist 3 at 9 deg and twist 4 at -9 deg"."""
    return listed(_each_at(values, project, tr), tr)


def _each_at(values: Values, project: Project, tr: Translator) -> list[str]:
    template = tr("{drive} at {value}")
    return [template.format(drive=name, value=drive_value(value, unit_of(project, name), tr=tr)) for name, value in values]


def listed(words: Iterable[str], tr: Translator) -> str:
    """Words as a list, "a", "a and b", "a, b and c"; empty for none."""
    told = list(words)
    if len(told) < 2:
        return "".join(told)
    return tr("{most} and {last}").format(most=", ".join(told[:-1]), last=told[-1])


def counted(number: int, one: str, many: str, tr: Translator) -> str:
    """`one` or `many`, as `number` asks; both may hold `{number}`."""
    return tr(one if number == 1 else many).format(number=number)


def opening(sentence: str) -> str:
    """The sentence with its first letter in upper case; a name such as "pH rod" in the middle is left alone."""
    return sentence[:1].upper() + sentence[1:]
