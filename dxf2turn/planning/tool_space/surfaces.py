"""Where along the edge of a tool space stock stands beside the target: what a finishing cut has to follow."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from dxf2turn.geometry.offset import Contact
from dxf2turn.geometry.segment import Line, Segment
from dxf2turn.planning.tool_space.plane import PlaneSpace

Numbers = NDArray[np.float64]

SPACING = 0.1  # stock is looked for along the edge at places this far apart, mm
PROBE = 0.005  # stock thinner than this is none, mm
BRIDGE = 4.0  # a shorter stretch without stock is passed in feed, mm
OVERLAP = 0.3  # a cut begins and ends this far beyond the stock, along the edge, mm
FAR_SIDE = 0.5  # a contact this far below the axis is with the far side of the work, mm
ON_SURFACE = 0.02  # a place of the target this close to the surface of the part is on it, mm
LEAST = 1e-6  # shorter pieces are none, mm


@dataclass(frozen=True, slots=True)
class Sought:
    """Which stock counts: in `room`, beside the target at z from low to high, no thicker than `thick`; mm.

    surface: what is to be finished; None = all of the target. nose: radius of the tool's nose.
    """

    room: BaseGeometry
    surface: BaseGeometry | None
    low: float
    high: float
    thick: float
    nose: float


def stretches(plane: PlaneSpace, sought: Sought) -> Iterator[tuple[Segment, ...]]:
    """The parts of the edge where the tool touches a surface with stock on it, in the edge's direction."""
    for ring in map(_from_the_air, plane.edges):
        starts = [0.0, *itertools.accumulate(contact.path.length for contact in ring)]
        for first, last in _spans(ring, starts, plane, sought):
            path = tuple(_part(ring, starts, first, last))
            if path:
                yield path


def _from_the_air(ring: Sequence[Contact]) -> tuple[Contact, ...]:
    """The ring begun at its longest piece that cuts nothing."""
    free = [i for i, contact in enumerate(ring) if contact.edge]
    first = max(free, key=lambda i: ring[i].path.length, default=0)
    return (*ring[first:], *ring[:first])


def _spans(
    ring: Sequence[Contact], starts: Sequence[float], plane: PlaneSpace, sought: Sought
) -> list[tuple[float, float]]:
    """Stretches with stock as lengths along the ring, those close to each other joined."""
    spans: list[tuple[float, float]] = []
    for contact, start in zip(ring, starts):
        if contact.edge or contact.path.length < LEAST:
            continue
        for first, last in _touching(contact, plane, sought):
            first, last = start + first - OVERLAP, start + last + OVERLAP
            if spans and first - spans[-1][1] < BRIDGE:
                spans[-1] = (spans[-1][0], last)
            else:
                spans.append((first, last))
    return spans


def _touching(contact: Contact, plane: PlaneSpace, sought: Sought) -> Iterator[tuple[float, float]]:
    """Where along one contact stock stands: runs of places that have it, one place wider at the start."""
    length = contact.path.length
    count = max(2, math.ceil(length / SPACING) + 1)
    there = _has_stock(contact, np.linspace(0.0, 1.0, count), plane, sought)
    changes = np.flatnonzero(np.diff(np.concatenate([[False], there, [False]]).astype(int)))
    step = length / (count - 1)
    for first, end in zip(changes[0::2].tolist(), changes[1::2].tolist()):
        yield max(0.0, (first - 1) * step), min(length, end * step)


def _has_stock(contact: Contact, shares: Numbers, plane: PlaneSpace, sought: Sought) -> NDArray[np.bool_]:
    """Whether there is stock beside the surface, at shares of a contact's length."""
    places, inward = _places(contact.path, shares)
    touch = places + np.asarray(contact.corner) + sought.nose * inward
    at, near, far = (plane.axes.zr_all(touch - depth * inward) for depth in (0.0, PROBE, sought.thick))
    found = shapely.contains_xy(sought.room, near[:, 0], np.abs(near[:, 1]))
    found &= ~shapely.contains_xy(sought.room, far[:, 0], np.abs(far[:, 1]))
    found &= (near[:, 1] >= -FAR_SIDE) & (near[:, 0] >= sought.low) & (near[:, 0] <= sought.high)
    if sought.surface is not None and found.any():
        found &= shapely.distance(shapely.points(at), sought.surface) <= ON_SURFACE
    return found


def _places(path: Segment, shares: Numbers) -> tuple[Numbers, Numbers]:
    """Places on a path and the directions to its left there, (n, 2) each."""
    if isinstance(path, Line):
        ends = np.asarray([path.start, path.end])
        left = np.asarray(path.tangent_at(0.0).left)
        return ends[0] + shares[:, None] * (ends[1] - ends[0]), np.broadcast_to(left, (len(shares), 2))
    angles = path.start_angle + path.sweep * shares
    out = np.stack([np.cos(angles), np.sin(angles)], axis=1)
    return np.asarray(path.centre) + path.radius * out, out if path.clockwise else -out


def _part(ring: Sequence[Contact], starts: Sequence[float], first: float, last: float) -> Iterator[Segment]:
    """The pieces of the ring between two lengths."""
    for contact, start in zip(ring, starts):
        length = contact.path.length
        low, high = max(0.0, first - start), min(length, last - start)
        if high - low > LEAST:
            yield contact.path.part(low / length, high / length)
