"""Which tools of the crib cut a thread of some form and pitch, the best first."""

from __future__ import annotations

import math

from dxf2turn.shop.model import Shop, Tool

# A pitch within this share of a tool's range is in it: inch pitches are rounded in the files.
PITCH_SLACK = 2e-4
ANGLE_SLACK = math.radians(0.1)
# Families whose profile is another one's: R has the form of G, taper threads included.
PROFILES = {"R": "G", "Rp": "G", "Rc": "G", "MJ": "M"}


def threading_tools(
    shop: Shop, inside: bool, family: str, form_angle: float, pitch: float
) -> tuple[Tool, ...]:
    """Threading tools for a thread: its own profile first, then partial profiles, narrow ranges first.

    family: "M", "UN", "G", "R", "NPT", "Tr", "ACME"; form_angle: radians; pitch: mm.
    """
    profile = PROFILES.get(family, family)
    fitting = [
        tool
        for tool in shop.tools_of("inside threading" if inside else "threading")
        if tool.thread_profile in (profile, "partial") and _fits(tool, form_angle, pitch)
    ]
    return tuple(sorted(fitting, key=lambda tool: (tool.thread_profile == "partial", _span(tool))))


def taps(shop: Shop, diameter_mm: float, pitch: float, hand: str) -> tuple[Tool, ...]:
    """Taps of a size, pitch and hand; mm."""
    return tuple(
        tool
        for tool in shop.tools_of("tap")
        if tool.hand == hand
        and abs((tool.diameter_mm or 0.0) - diameter_mm) <= PITCH_SLACK * diameter_mm
        and _in_range(tool, pitch)
    )


def _fits(tool: Tool, form_angle: float, pitch: float) -> bool:
    return abs((tool.form_angle or 0.0) - form_angle) <= ANGLE_SLACK and _in_range(tool, pitch)


def _in_range(tool: Tool, pitch: float) -> bool:
    least, largest = tool.pitch_range or (math.inf, 0.0)
    return least * (1.0 - PITCH_SLACK) <= pitch <= largest * (1.0 + PITCH_SLACK)


def _span(tool: Tool) -> float:
    least, largest = tool.pitch_range or (0.0, math.inf)
    return largest - least
