"""The profile that one side of a view gives, still at the z of its axis."""

from __future__ import annotations

from dataclasses import dataclass

from dxf2turn.contour.model import Profile
from dxf2turn.contour.order import in_order
from dxf2turn.contour.outline import union_border
from dxf2turn.contour.slack import Slack
from dxf2turn.contour.straighten import straightened
from dxf2turn.contour.view import Side
from dxf2turn.geometry.merge import merged
from dxf2turn.geometry.path import path_bounds
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Bounds, Line, Segment
from dxf2turn.reading.model import Role


@dataclass(frozen=True, slots=True)
class Shape:
    """profile: of one side. slots: boxes in (z, r) of notches in the faces that were filled, because a part
    seen from outside can't show a hole. leftover: outlines that do not hang together with the profile."""

    side: Side
    profile: Profile
    slots: tuple[Bounds, ...] = ()
    leftover: tuple[tuple[Segment, ...], ...] = ()

    @property
    def hollow(self) -> bool:
        """Whether the side shows a hole: faces taken out, or an outline that leaves one open."""
        return self.side.material.hole or "inside" in self.profile.roles

    @property
    def cut(self) -> bool:
        """Whether the side shows the part cut open: by a sign of it, or by an empty hole."""
        seen = self.side.material.seen
        return seen == "cut" or (seen == "plain" and self.hollow)


def shape_of(side: Side, slack: Slack) -> Shape | None:
    """The profile of a side; None when its material has no outline of its own."""
    loops = union_border(side.half, side.material.faces)
    if not loops:
        return None
    outline = straightened(merged(loops[0], slack.at), slack)
    profile = in_order(merged(outline, slack.at), slack.gap)
    slots: tuple[Bounds, ...] = ()
    if side.material.seen == "outside" and not side.material.hole and not _has_hidden_hole(profile, side):
        profile, slots = _slots_filled(profile, slack)
    return Shape(side, profile, slots, tuple(loops[1:]))


def _has_hidden_hole(profile: Profile, side: Side) -> bool:
    """Whether the walls of what looks like a hole are drawn as hidden lines: then it is one."""
    hidden = {
        handle
        for piece in side.half.sources
        if piece is not None and piece.role is Role.HIDDEN
        for handle in piece.segment.origin
    }
    walls = (profile.segments[index] for index in profile.run("inside"))
    return any(hidden.intersection(wall.origin) for wall in walls)


def _slots_filled(profile: Profile, slack: Slack) -> tuple[Profile, tuple[Bounds, ...]]:
    """The profile with what looks like a hole in a face closed by the face."""
    inner = [index for index, role in enumerate(profile.roles) if role == "inside"]
    if not inner or not profile.is_solid:
        return profile, ()
    axis = profile.roles.index("axis")
    runs = [i for i in inner if i < axis], [i for i in inner if i > axis]
    notches = [tuple(profile.segments[i] for i in run) for run in runs if run]
    kept = [s for s, role in zip(profile.segments, profile.roles) if role not in ("inside", "axis")]
    top, bottom = kept[0].start, kept[-1].end
    closing = (
        Line(bottom, Point(bottom.x, 0.0)),
        Line(Point(bottom.x, 0.0), Point(top.x, 0.0)),
        Line(Point(top.x, 0.0), top),
    )
    loop = (*kept, *(line for line in closing if line.start != line.end))
    filled = in_order(merged(loop, slack.at), slack.gap)
    return filled, tuple(path_bounds(notch) for notch in notches)
