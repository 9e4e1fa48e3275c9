"""The colour schemes: readable by WCAG 2.2 AA, and at night nothing but red."""

from __future__ import annotations

import re

import pytest

from loombook.publish import assets

CSS = assets.files()["assets/loombook/schemes.css"].decode()
WORDS = ["text", "muted", "accent", "live", "warn", "dead", "works"]
"""Variables that colour words; the others colour lines and shapes."""
SHAPES = ["line", "faint", "pos", "neg", "ac", "1", "2", "3", "4", "5", "6"]


def scheme(name: str) -> dict[str, str]:
    block = re.search(rf'data-md-color-scheme="{name}"\]\s*\{{(.*?)\}}', CSS, re.S)[1]
    return dict(re.findall(r"--lb-([\w-]+):\s*(#[0-9a-f]{6});", block))


def luminance(colour: str) -> float:
    """Relative luminance. Source: WCAG 2.2, definition of relative luminance."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, 1 to 21. Source: WCAG 2.2, definition of contrast ratio."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_contrast_ratio_of_black_and_white_is_21():
    assert 21 == round(contrast("#000000", "#ffffff"), 6)


@pytest.mark.parametrize("name", ["default", "slate", "red"])
def test_all_schemes_define_the_same_colours(name):
    assert sorted(scheme("default")) == sorted(scheme(name))


@pytest.mark.parametrize("name", ["default", "slate", "red"])
@pytest.mark.parametrize("ground", ["paper", "fill"])
def test_words_can_be_read_on_every_ground(name, ground):
    colours = scheme(name)

    assert {} == {
        word: round(contrast(colours[word], colours[ground]), 2)
        for word in WORDS
        if contrast(colours[word], colours[ground]) < 4.5  # WCAG 2.2, 1.4.3
    }
    assert contrast(colours["on-bar"], colours["bar"]) >= 4.5


@pytest.mark.parametrize("name", ["default", "slate", "red"])
def test_lines_and_shapes_can_be_seen(name):
    colours = scheme(name)

    assert {} == {
        shape: round(contrast(colours[shape], colours["paper"]), 2)
        for shape in SHAPES
        if contrast(colours[shape], colours["paper"]) < 3  # WCAG 2.2, 1.4.11
    }


def test_red_night_has_no_green_and_no_blue():
    assert {} == {name: colour for name, colour in scheme("red").items() if colour[3:] != "0000"}
