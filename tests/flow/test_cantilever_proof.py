"""Proof load and movement of a solved cantilever against beam theory (Timoshenko, with shear; from memory)."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import beam
import pytest

from printworthy import flow, options, shape, strength, verdict
from printworthy.inputs import Support

P, LENGTH, B, H = 4.0, 80.0, 12.0, 8.0


def quiet(stage: str, share: float = 0.0) -> None: ...


def test_a_solved_cantilever_moves_as_the_book_says_at_its_proof_load(tmp_path: Path) -> None:
    root = beam.write(tmp_path, extra='build_direction = "+y"', force=f"0, 0, -{P} N")
    job = flow.read(root)
    part = replace(job.parts[0], supports=(Support("held", "fixed"),))
    solid = shape.mesh(shape.read(part.geometry), element_size=4.0, cache=tmp_path, progress=quiet)
    ready = strength.prepared(solid, {name: shape.select(solid, face) for name, face in part.faces.items()})
    card = job.cards["petg"]
    study = options.study(job, part, ready, (card,))
    found = options.option(study, card, (0.0, 1.0, 0.0), quiet)
    (proof,) = verdict.care(part, card, job.vehicle, job.rules, found).proofs
    young = card.number("modulus_in_layer")
    assert young is not None
    nu = card.number("poisson_in_layer") or 0.35
    inertia, area, g = B * H**3 / 12, B * H, young / (2 * (1 + nu))
    sag = P * LENGTH**3 / (3 * young * inertia) + 1.2 * P * LENGTH / (g * area)
    assert proof.level is not None
    assert proof.movement is not None
    assert proof.face == "end"
    # A clamped root cannot contract sideways, so about half a width of it is stiffer by nu^2: at most
    # 3 (6/80) 0.35^2 = 2.7 %, and always on the stiff side.
    assert proof.movement == pytest.approx(proof.level * sag, rel=0.027)
    assert proof.movement < proof.level * sag
    assert proof.level == pytest.approx(1.25 / proof.kept)
