"""The colour scale: the limit, the Oklab matrices, order in grey, and telling apart for colour-blind eyes."""

from __future__ import annotations

import numpy as np
import pytest

from printworthy.dossier import colours


def test_the_limit_itself_is_below_and_the_next_number_above() -> None:
    at = colours.band(np.array([0.0, 0.999, 1.0, np.nextafter(1.0, 2.0), 7.0]))
    above = len(colours.LEVELS) - 1
    assert at.tolist() == [0, above - 1, above - 1, above, above]
    assert tuple(colours.bands()[above]) == colours.ABOVE


@pytest.mark.parametrize(
    ("lab", "rgb"),
    [  # CSS Color Module Level 4, Oklab of the sRGB primaries (from memory, four digits)
        ((1.0, 0.0, 0.0), (255, 255, 255)),
        ((0.6280, 0.2249, 0.1258), (255, 0, 0)),
        ((0.8664, -0.2339, 0.1795), (0, 255, 0)),
        ((0.4520, -0.0325, -0.3115), (0, 0, 255)),
    ],
)
def test_oklab_gives_the_primaries(lab: tuple[float, float, float], rgb: tuple[int, int, int]) -> None:
    lightness, a, b = lab
    got = colours.srgb(np.array(lightness), np.array(np.hypot(a, b)), np.array(np.rad2deg(np.arctan2(b, a))))
    assert np.abs(got.astype(int) - rgb).max() <= 2  # four digits of Oklab leave about one step of 255 near black


def linear(rgb: np.ndarray) -> np.ndarray:
    """Linear light of sRGB bytes (IEC 61966-2-1)."""
    c = np.asarray(rgb, dtype=float) / 255
    return np.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)


def test_the_scale_darkens_step_by_step_so_that_it_reads_in_grey() -> None:
    luminance = linear(colours.bands()[:-1]) @ [0.2126, 0.7152, 0.0722]  # ITU-R BT.709
    assert (np.diff(luminance) < 0).all()
    assert luminance[0] / luminance[-1] > 10
    lightness = np.cbrt(luminance)
    assert np.diff(lightness).max() < -0.03  # no two neighbours look alike


# G. Machado et al. (2009), simulation of colour vision deficiency, severity 1, on linear RGB (from memory)
BLIND = {
    "protan": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    "deutan": [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
}


@pytest.mark.parametrize("kind", BLIND)
def test_above_the_limit_looks_unlike_every_band_to_colour_blind_eyes(kind: str) -> None:
    seen = linear(colours.bands()) @ np.array(BLIND[kind]).T
    np.testing.assert_allclose(np.array(BLIND[kind]).sum(axis=1), 1.0, atol=1e-5)  # grey stays grey
    difference = np.abs(np.cbrt(seen.clip(0)) - np.cbrt(seen[-1].clip(0)))[:-1].max(axis=1)
    assert difference.min() > 0.15
