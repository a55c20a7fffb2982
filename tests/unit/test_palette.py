"""The palette's promises, kept in both themes and for protan, deutan and tritan sight.

Colour difference: CIEDE2000. Colour vision deficiencies: Machado, Oliveira and Fernandes 2009, severity 1.0, linear RGB.
Contrast: WCAG 2.
"""

import itertools
import math
import re

import numpy as np
import pytest

from app.theme import DARK, LIGHT, STYLES

THEMES = pytest.mark.parametrize("style", [LIGHT, DARK], ids=["light", "dark"])
SIGHT = {
    "normal": np.eye(3),
    "protan": np.array([[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]),
    "deutan": np.array([[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]),
    "tritan": np.array([[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]),
}
SIGHTS = pytest.mark.parametrize("sight", SIGHT)


def linear(hex_colour):
    channels = np.array([int(hex_colour[at : at + 2], 16) for at in (1, 3, 5)]) / 255.0
    return np.where(channels <= 0.04045, channels / 12.92, ((channels + 0.055) / 1.055) ** 2.4)


def lab(hex_colour, sight="normal"):
    rgb = np.clip(SIGHT[sight] @ linear(hex_colour), 0.0, 1.0)
    to_xyz = np.array([[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]])
    ratio = to_xyz @ rgb / np.array([0.95047, 1.0, 1.08883])
    f = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), ratio / (3 * (6 / 29) ** 2) + 4 / 29)
    return 116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])


def ciede2000(one, other):
    (l1, a1, b1), (l2, a2, b2) = one, other
    c_mean = (math.hypot(a1, b1) + math.hypot(a2, b2)) / 2
    g = 0.5 * (1 - math.sqrt(c_mean**7 / (c_mean**7 + 25**7)))
    a1, a2 = (1 + g) * a1, (1 + g) * a2
    c1, c2 = math.hypot(a1, b1), math.hypot(a2, b2)
    h1, h2 = (math.degrees(math.atan2(b, a)) % 360 for a, b in ((a1, b1), (a2, b2)))
    dh = 0.0 if c1 * c2 == 0 else (h2 - h1 + 180) % 360 - 180
    h_mean = h1 + h2 if c1 * c2 == 0 else (h1 + dh / 2) % 360
    big_h = 2 * math.sqrt(c1 * c2) * math.sin(math.radians(dh / 2))
    l_mean, c_mean = (l1 + l2) / 2, (c1 + c2) / 2
    t = (
        1
        - 0.17 * math.cos(math.radians(h_mean - 30))
        + 0.24 * math.cos(math.radians(2 * h_mean))
        + 0.32 * math.cos(math.radians(3 * h_mean + 6))
        - 0.20 * math.cos(math.radians(4 * h_mean - 63))
    )
    s_l = 1 + 0.015 * (l_mean - 50) ** 2 / math.sqrt(20 + (l_mean - 50) ** 2)
    s_c, s_h = 1 + 0.045 * c_mean, 1 + 0.015 * c_mean * t
    turn = 30 * math.exp(-(((h_mean - 275) / 25) ** 2))
    r_t = -2 * math.sqrt(c_mean**7 / (c_mean**7 + 25**7)) * math.sin(math.radians(2 * turn))
    dl, dc, dh = (l2 - l1) / s_l, (c2 - c1) / s_c, big_h / s_h
    return math.sqrt(dl**2 + dc**2 + dh**2 + r_t * dc * dh)


def contrast(one, other):
    light, dark = sorted((float(linear(colour) @ [0.2126, 0.7152, 0.0722]) for colour in (one, other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


# Sharma, Wu and Dalal 2005, "The CIEDE2000 color-difference formula", table 1: pairs 1, 3, 7, 17, 25 and 34.
@pytest.mark.parametrize(
    ("one", "other", "difference"),
    [
        ((50, 2.6772, -79.7751), (50, 0, -82.7485), 2.0425),
        ((50, 2.8361, -74.0200), (50, 0, -82.7485), 3.4412),
        ((50, 0, 0), (50, -1, 2), 2.3669),
        ((50, 2.5, 0), (73, 25, -18), 27.1492),
        ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
        ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
    ],
)
def test_colour_difference_agrees_with_published_pairs(one, other, difference):
    assert ciede2000(one, other) == pytest.approx(difference, abs=5e-5)
    assert ciede2000(other, one) == pytest.approx(difference, abs=5e-5)


def test_contrast_of_black_on_white_is_21():
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)  # WCAG 2, definition of contrast ratio


@THEMES
def test_every_colour_is_written_as_six_hexadecimal_digits(style):
    colours = [value for value in (getattr(style, name) for name in style.__slots__) if isinstance(value, str)]
    colours += [*style.heat, *style.bodies.values()]
    assert all(re.fullmatch("#[0-9a-f]{6}", colour) for colour in colours if colour != style.name)


def test_both_themes_have_seven_heat_steps_and_the_same_body_names():
    assert {len(style.heat) for style in STYLES.values()} == {7}
    assert list(LIGHT.bodies) == list(DARK.bodies)


@THEMES
@SIGHTS
def test_heat_runs_one_way_in_lightness(style, sight):
    steps = [lab(colour, sight)[0] for colour in style.heat]
    rises = [b - a for a, b in itertools.pairwise(steps)]
    assert all(rise < -5 for rise in rises) if style is LIGHT else all(rise > 5 for rise in rises)


@THEMES
@SIGHTS
def test_largest_lightness_step_is_where_breach_begins(style, sight):
    steps = [abs(lab(b, sight)[0] - lab(a, sight)[0]) for a, b in itertools.pairwise(style.heat)]
    assert steps.index(max(steps)) == 2


@THEMES
@SIGHTS
def test_all_heat_steps_can_be_told_apart(style, sight):
    assert min(ciede2000(lab(a, sight), lab(b, sight)) for a, b in itertools.combinations(style.heat, 2)) > 6.5


@THEMES
@SIGHTS
def test_clear_and_breach_are_far_apart(style, sight):
    assert ciede2000(lab(style.heat[2], sight), lab(style.heat[3], sight)) > 13


@THEMES
@SIGHTS
def test_bodies_can_be_told_from_each_other_from_heat_and_from_the_board(style, sight):
    bodies = [lab(colour, sight) for colour in style.bodies.values()]
    assert min(ciede2000(a, b) for a, b in itertools.combinations(bodies, 2)) > 6.5
    assert min(ciede2000(body, lab(heat, sight)) for body in bodies for heat in style.heat) > 12
    assert min(ciede2000(body, lab(style.board, sight)) for body in bodies) > 7


def hue(colour):
    _, a, b = lab(colour)
    return math.degrees(math.atan2(b, a)) % 360


@THEMES
def test_bodies_keep_to_cool_hues_that_heat_never_enters(style):
    assert all(150 <= hue(colour) <= 310 for colour in style.bodies.values())
    assert not any(150 <= hue(colour) <= 310 for colour in style.heat)


@THEMES
def test_words_have_the_contrast_that_text_needs(style):
    grounds = (style.board, style.panel, style.field)
    words = (style.ink, style.quiet_text, style.breach_text, style.proved_text)
    assert min(contrast(word, ground) for word in words for ground in grounds) >= 4.5
    assert min(contrast(style.focus, ground) for ground in grounds) >= 3.0  # WCAG 2.2, 1.4.11, for what is not text


def test_ink_on_light_bodies_needs_no_halo():
    assert min(contrast(LIGHT.ink, body) for body in LIGHT.bodies.values()) >= 4.5


@THEMES
def test_hatch_shows_on_both_steps_that_carry_it(style):
    assert min(contrast(style.hatch, heat) for heat in style.heat[5:]) >= 4.5


@THEMES
def test_a_tint_comes_by_name_or_by_order(style):
    assert style.body_tint("sage", order=0) == style.bodies["sage"]
    assert style.body_tint("vermilion", order=1) == style.bodies["lagoon"]
    assert style.body_tint(None, order=len(style.bodies)) == style.bodies["celadon"]
    assert style.tint_name(None, order=9) == "lagoon"
    assert style.tint_name("mist", order=0) == "mist"
