"""Which tools of the crib cut a thread or a knurl of some form and pitch, the best first."""

from __future__ import annotations

import math

from dxf2turn.shop.model import Shop, Tool

# A pitch within this share of a tool's range is in it: inch pitches are rounded in the files.
PITCH_SLACK = 2e-4
ANGLE_SLACK = math.radians(0.1)
# Families whose profile is another one's: R has the form of G, taper threads included.
PROFILES = {"R": "G", "Rp": "G", "Rc": "G", "MJ": "M"}
# Knurl forms by the words of a feature and the letters of DIN 82 (from memory).
KNURLS = {
    "straight": "RAA",
    "left": "RBL",
    "right": "RBR",
    "diamond raised": "RGE",
    "diamond sunk": "RGV",
    "crossed raised": "RKE",
    "crossed sunk": "RKV",
}
SAME_PITCH = 0.01  # pitches of knurls closer than this are one, mm


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


def knurl_wheels(shop: Shop, form: str, pitch: float) -> tuple[Tool, ...]:
    """Knurling wheels of a form (words of a feature or letters of DIN 82) and a pitch, mm."""
    letters = KNURLS.get(form, form)
    return tuple(
        wheel
        for wheel in shop.tools_of("knurl")
        if wheel.insert.split()[0] == letters and abs((wheel.pitch_range or (0.0,))[0] - pitch) <= SAME_PITCH
    )


def _fits(tool: Tool, form_angle: float, pitch: float) -> bool:
    return abs((tool.form_angle or 0.0) - form_angle) <= ANGLE_SLACK and _in_range(tool, pitch)


def _in_range(tool: Tool, pitch: float) -> bool:
    least, largest = tool.pitch_range or (math.inf, 0.0)
    return least * (1.0 - PITCH_SLACK) <= pitch <= largest * (1.0 + PITCH_SLACK)


def _span(tool: Tool) -> float:
    least, largest = tool.pitch_range or (0.0, math.inf)
    return largest - least
