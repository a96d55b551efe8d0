"""Where a part sits in the vehicle, and where its faces are: from vehicle axes to the axes of its file and back."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from printworthy.errors import InputError
from printworthy.inputs import BoxSelector, CylinderSelector, Face, Machine, Mounting, PlaneSelector, Vector
from printworthy.ride.vehicle import steering

Array = NDArray[np.float64]
SQUARE = 1e-3  # cosine up to which two stated axes are square to each other


@dataclass(frozen=True, slots=True, eq=False)
class Placing:
    """Origin (3,) [mm] of the part's file in vehicle axes and its `axes` (3, 3), one a row."""

    origin: Array
    axes: Array

    def inside(self, vector: ArrayLike) -> Array:
        """A vector (3,) of the vehicle in part axes."""
        return self.axes @ np.asarray(vector, float)

    def outside(self, vector: ArrayLike) -> Array:
        """A vector (3,) of the part in vehicle axes."""
        return self.axes.T @ np.asarray(vector, float)

    def point(self, place: ArrayLike) -> Array:
        """A point (3,) of the part in vehicle axes."""
        return self.origin + self.outside(place)


def placed(m: Machine, at: Mounting) -> Placing:
    """The placing of a part. On the fork, the stated axes are those of the steering axis: x forward square to it, y
    left, z up along it; the origin is stated in vehicle axes all the same. Raises InputError for axes not square."""
    x, z = np.array(at.x, float), np.array(at.z, float)
    if abs(float(x @ z)) > SQUARE:
        what = "x and z of the part are not square to each other"
        raise InputError(what, where=at.place or "", do="State two axes of the part that are")
    axes = np.array([x, np.cross(z, x), z])
    if at.on == "fork":
        axes = axes @ steering(m).axes
    return Placing(np.array(at.origin, float), axes)


def face_point(face: Face) -> Array:
    """The place (3,) [mm] a face is known by, from its selector: middle of a cylinder's stated length, or its point;
    the point of a plane or patch; the middle of a box."""
    s = face.selector
    if isinstance(s, BoxSelector):
        return (np.array(s.low) + np.array(s.high)) / 2
    if isinstance(s, CylinderSelector):
        along = np.array(s.axis, float) / np.linalg.norm(s.axis)
        middle = (s.low + s.high) / 2 if s.low is not None and s.high is not None else 0.0
        return np.array(s.point, float) + middle * along
    return np.array(s.point, float)


def axis_of(face: Face) -> Array | None:
    """Axis of a cylinder, or inward normal (3,) of a plane: the way it can be pressed; None for other faces."""
    s = face.selector
    if isinstance(s, CylinderSelector):
        return np.array(s.axis, float) / np.linalg.norm(s.axis)
    if isinstance(s, PlaneSelector):
        return -np.array(s.normal, float) / np.linalg.norm(s.normal)
    return None


def triple(v: ArrayLike) -> Vector:
    """A vector as three plain numbers, without the dust of rotations."""
    a = np.asarray(v, float)
    size = float(np.abs(a).max())
    a = np.where(np.abs(a) < 1e-9 * size, 0.0, a)
    return float(f"{a[0]:.9g}"), float(f"{a[1]:.9g}"), float(f"{a[2]:.9g}")
