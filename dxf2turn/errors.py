"""The exceptions of dxf2turn.

    Dxf2TurnError
    ├── UnreadableDrawing   the file can't be read as a drawing of a turned part (exit code 3)
    ├── BadOptions          an option or a combination of options makes no sense (exit code 2)
    ├── BadShopData         a machine, tool or material file is wrong (exit code 4)
    └── BrokenInvariant     a stage failed its own proof: a defect of this program (exit code 70)

A bad *drawing* that can still be read gives findings, not exceptions.
"""

from __future__ import annotations


class Dxf2TurnError(Exception):
    """Root of all errors that this package raises on purpose.

    `str(error)` is the text for people: what, where, what to do, one to a few lines.
    """

    exit_code: int = 70


class UnreadableDrawing(Dxf2TurnError, ValueError):
    """Raised when a file is missing, is no DXF, is damaged beyond use or holds no turned part."""

    exit_code = 3


class BadOptions(Dxf2TurnError, ValueError):
    """Raised when an option's value makes no sense for this drawing or this shop."""

    exit_code = 2


class BadShopData(Dxf2TurnError, ValueError):
    """Raised when a shop file (machine, tools, materials) or a packaged table is wrong."""

    exit_code = 4


class BrokenInvariant(Dxf2TurnError, RuntimeError):
    """Raised when a stage can't prove its own result. Never the user's fault."""

    exit_code = 70
