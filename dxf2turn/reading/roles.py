"""What a curve is for, by its resolved linetype: the name first, the pattern where the name is unknown.

A layer's name decides nothing: real drawings keep outlines on layers called AXIS and axes on layer 0.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from dxf2turn.reading.file.tables import BYBLOCK, BYLAYER, CONTINUOUS
from dxf2turn.reading.model import Role
from dxf2turn.tables import document

_ROLES = {"centre": Role.CENTRE, "hidden": Role.HIDDEN, "phantom": Role.PHANTOM, "other": Role.OTHER}


@dataclass(frozen=True, slots=True)
class RoleRules:
    """names: pattern of a linetype name -> role, in order. long_to_short: least ratio of a long dash to a
    short one in a centre line's pattern."""

    names: tuple[tuple[re.Pattern[str], Role], ...]
    long_to_short: float


@cache
def role_rules() -> RoleRules:
    """The rules of `data/roles.toml`."""
    table = document("roles")
    names = tuple(
        (re.compile(pattern), _ROLES[entry["role"]])
        for entry in table["linetype"]
        for pattern in entry["names"]
    )
    return RoleRules(names, table["pattern"]["long_to_short"])


def role_of(linetype: str, patterns: dict[str, tuple[float, ...]]) -> Role:
    """The role that a resolved linetype (upper case) gives; `patterns` are those of the file's own table.

    >>> role_of("CENTER2", {}).value, role_of("CONTINUOUS", {}).value
    ('centre line', 'outline')
    """
    if linetype in (CONTINUOUS, BYLAYER, BYBLOCK, ""):
        return Role.OUTLINE
    return _role_by_name(linetype) or _role_by_pattern(patterns.get(linetype, ()))


@cache
def _role_by_name(linetype: str) -> Role | None:
    for pattern, role in role_rules().names:
        if pattern.search(linetype):
            return role
    return None


def _role_by_pattern(pattern: Sequence[float]) -> Role:
    """Dashes of one length: hidden. A long and a short one or a dot: centre. A long and two: phantom."""
    dashes = [part for part in pattern if part >= 0.0]
    if not dashes or len(pattern) < 2:
        return Role.OUTLINE
    long = max(dashes)
    short = sum(part * role_rules().long_to_short <= long for part in dashes)
    longs = len(dashes) - short
    if short == 0 or long == 0.0:
        return Role.HIDDEN
    return {(1, 1): Role.CENTRE, (1, 2): Role.PHANTOM}.get((longs, short), Role.OTHER)
