"""Contrast and lightness, recomputed from the hex values of the token file.

Contrast: WCAG 2.2, "relative luminance" and "contrast ratio" (w3.org/TR/WCAG22); success criteria
1.4.6 asks 7:1 for text, 1.4.11 asks 3:1 for graphics.  Lightness: OKLab, Bjorn Ottosson 2020, "A
perceptual color space for image processing" (matrices from memory, checked below on white).
"""

import itertools

import pytest

from wainscot.picture import tokens
from wainscot.picture.tokens import DAY, NIGHT, Theme


def linear(colour: str) -> list[float]:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    return [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]


def luminance(colour: str) -> float:
    red, green, blue = linear(colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    bright, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def lightness(rgb: list[float]) -> float:
    red, green, blue = rgb
    long = 0.4122214708 * red + 0.5363325363 * green + 0.0514459929 * blue
    middle = 0.2119034982 * red + 0.6806995451 * green + 0.1073969566 * blue
    short = 0.0883024619 * red + 0.2817188376 * green + 0.6299787005 * blue
    roots = (long ** (1 / 3), middle ** (1 / 3), short ** (1 / 3))
    return 0.2104542553 * roots[0] + 0.7936177850 * roots[1] - 0.0040720468 * roots[2]


def hatch_share(index: int) -> float:
    step = tokens.HATCH_SPACING[index]
    if step is None:
        return 0.0
    line = tokens.HATCH_WIDTH / step
    return 1 - (1 - line) ** 2 if tokens.HATCH_CROSSED[index] else line


def seen(theme: Theme, index: int) -> list[float]:
    """Fill and hatch as an eye at a distance blends them: by light."""
    share = hatch_share(index)
    fill, line = linear(theme.fills[index]), linear(theme.hatch)
    return [(1 - share) * f + share * h for f, h in zip(fill, line, strict=True)]


def grey(rgb: list[float]) -> float:
    light = 0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2]
    encoded = 12.92 * light if light <= 0.0031308 else 1.055 * light ** (1 / 2.4) - 0.055
    return 255 * encoded


def test_lightness_of_white_is_one_and_of_black_nought() -> None:
    assert lightness(linear("#FFFFFF")) == pytest.approx(1.0, abs=1e-6)
    assert lightness(linear("#000000")) == pytest.approx(0.0, abs=1e-9)


def test_contrast_of_black_on_white_is_21() -> None:
    # WCAG 2.2: "Contrast ratios can range from 1 to 21".
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0, abs=1e-9)


@pytest.mark.parametrize("theme", [DAY, NIGHT])
def test_text_stands_out_seven_to_one_on_every_ground(theme: Theme) -> None:
    for ground in (theme.paper, theme.tray, theme.well):
        assert contrast(theme.ink, ground) >= 7.0
        assert contrast(theme.ink_2, ground) >= 7.0
    assert contrast(theme.on_copper, theme.copper) >= 7.0


@pytest.mark.parametrize("theme", [DAY, NIGHT])
def test_lines_and_ribbons_stand_out_four_and_a_half_to_one(theme: Theme) -> None:
    for ground in (theme.paper, theme.tray, theme.well):
        assert contrast(theme.line, ground) >= 4.5
        assert contrast(theme.ribbon, ground) >= 4.5


@pytest.mark.parametrize("theme", [DAY, NIGHT])
def test_hatch_stands_out_from_its_fill(theme: Theme) -> None:
    for index, step in enumerate(tokens.HATCH_SPACING):
        if step is not None:
            assert contrast(theme.hatch, theme.fills[index]) >= 3.0


@pytest.mark.parametrize(("theme", "way"), [(DAY, -1), (NIGHT, 1)])
def test_lightness_runs_in_even_steps_through_the_classes(theme: Theme, way: int) -> None:
    steps = [lightness(seen(theme, i + 1)) - lightness(seen(theme, i)) for i in range(4)]
    assert all(0.12 <= way * step <= 0.15 for step in steps)


@pytest.mark.parametrize("theme", [DAY, NIGHT])
def test_classes_keep_apart_in_grey(theme: Theme) -> None:
    greys = sorted(grey(seen(theme, i)) for i in range(5))
    assert min(b - a for a, b in itertools.pairwise(greys)) >= 30


def test_only_two_hues_are_used() -> None:
    for theme in (DAY, NIGHT):
        for fill in theme.fills:
            red, green, blue = linear(fill)
            assert blue > red
            assert blue > green
        for act in (theme.copper, theme.ribbon):
            red, green, blue = linear(act)
            assert red > green > blue
