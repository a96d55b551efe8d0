"""The colour scale of utilisation: pale to dark below the limit, a colour of another kind above it.

Own scale, walked in the Oklab space (B. Ottosson, 2020, "A perceptual color space for image processing", matrices from
memory and checked in the tests): lightness falls evenly, so that it also reads in grey and for colour-blind eyes.
"""

from __future__ import annotations

import numpy as np

LIMIT = 1.0
# Uneven on purpose: most of a sound part lies far below the limit, and its pattern must still be seen.
LEVELS = (0.0, 0.02, 0.05, 0.1, 0.2, 0.35, 0.5, 0.7, 0.85, LIMIT)
ABOVE = (214, 106, 30)  # only above the limit, and always hatched

_LMS_FROM_LAB = np.array(
    [[1.0, 0.3963377774, 0.2158037573], [1.0, -0.1055613458, -0.0638541728], [1.0, -0.0894841775, -1.2914855480]]
)
_RGB_FROM_LMS = np.array(
    [
        [4.0767416621, -3.3077115913, 0.2309699292],
        [-1.2684380046, 2.6097574011, -0.3413193965],
        [-0.0041960863, -0.7034186147, 1.7076147010],
    ]
)


def srgb(lightness: np.ndarray, chroma: np.ndarray, hue: np.ndarray) -> np.ndarray:
    """sRGB bytes (..., 3) of Oklab lightness [0..1], chroma and hue [degree] (...), clipped to what screens show."""
    angle = np.deg2rad(hue)
    lab = np.stack([lightness, chroma * np.cos(angle), chroma * np.sin(angle)], axis=-1)
    linear = np.clip((lab @ _LMS_FROM_LAB.T) ** 3 @ _RGB_FROM_LMS.T, 0.0, 1.0)
    encoded = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)
    return np.round(encoded * 255).astype(np.uint8)


def bands() -> np.ndarray:
    """Colours (len(LEVELS), 3) of the bands from one level to the next; the last is for values above the limit."""
    t = np.linspace(0.0, 1.0, len(LEVELS) - 1)
    below = srgb(0.94 - 0.60 * t, 0.035 + 0.085 * t, 110 + 165 * t)
    return np.vstack([below, np.array([ABOVE], dtype=np.uint8)])


def steps(count: int) -> np.ndarray:
    """Colours (count, 3) of `count` even steps, pale to dark, in hues of their own (yellow to purple)."""
    t = np.linspace(0.0, 1.0, max(count, 2))[:count]
    return srgb(0.94 - 0.56 * t, 0.05 + 0.09 * t, 100 - 110 * t)


def band(values: np.ndarray) -> np.ndarray:
    """Band number (...) of utilisations (...): the last band only strictly above the limit."""
    return np.searchsorted(np.array(LEVELS[1:]), values, side="left")


def css(colour: np.ndarray | tuple[int, int, int]) -> str:
    """'#rrggbb'."""
    return "#" + "".join(f"{int(c):02x}" for c in colour)
