"""What bulk works with: its options, the items it runs, the record of each result."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from dxf2turn.options import DrawingOptions, PlanOptions

PLANNED = "planned"  # files are in place
STOPPED = "stopped"  # read, but a finding stops it
UNREADABLE = "unreadable"  # not a drawing of a turned part, or not readable
TIMEOUT = "timeout"  # its process was ended after the time limit
MEMORY = "memory"  # it needed more memory than allowed
CRASHED = "crashed"  # its process died
DEFECT = "defect"  # a defect of this program
NOT_WRITTEN = "not written"  # planned, but its files could not be written

FINAL = (PLANNED, STOPPED, UNREADABLE)  # not tried again on resume while drawing and options are the same
WORST_FIRST = (DEFECT, CRASHED, MEMORY, TIMEOUT, NOT_WRITTEN, UNREADABLE, STOPPED, PLANNED)


@dataclass(frozen=True, slots=True)
class BulkOptions:
    """workers: None = one a core. timeout_s: of one drawing. memory_mb: of one process."""

    folder: Path
    drawing: DrawingOptions = field(default_factory=DrawingOptions)
    plan: PlanOptions = field(default_factory=PlanOptions)
    workers: int | None = None
    timeout_s: float = 120.0
    memory_mb: int = 2048
    resume: bool = True


@dataclass(frozen=True, slots=True)
class Source:
    """One drawing: its path, the first part of its files' names, and the key of its content and options."""

    path: Path
    name: str
    key: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of one part of a drawing: the words of its record, and its files while not yet written.

    name: first part of the files' names (NAME, or NAME-1, NAME-2 where a sheet holds several parts).
    """

    name: str
    status: str
    text: str = ""
    part: int | None = None
    stop: int = 0
    fix: int = 0
    note: int = 0
    steps: int | None = None
    total_s: float | None = None
    max_left_mm: float | None = None
    files: dict[str, bytes] = field(default_factory=dict, repr=False)


@dataclass(frozen=True, slots=True)
class Record:
    """One finished drawing: a line of results.jsonl."""

    source: Source
    outcomes: tuple[Outcome, ...]

    @property
    def failed(self) -> bool:
        """Whether some part of it has no plan."""
        return any(outcome.status != PLANNED for outcome in self.outcomes)

    def line(self) -> dict[str, Any]:
        """The record as plain values."""
        return {
            "drawing": str(self.source.path),
            "name": self.source.name,
            "key": self.source.key,
            "parts": [
                {
                    "name": outcome.name,
                    "part": outcome.part,
                    "status": outcome.status,
                    "text": outcome.text,
                    "stop": outcome.stop,
                    "fix": outcome.fix,
                    "note": outcome.note,
                    "steps": outcome.steps,
                    "total_s": None if outcome.total_s is None else round(outcome.total_s, 3),
                    "max_left_mm": None if outcome.max_left_mm is None else round(outcome.max_left_mm, 6),
                    "files": sorted(outcome.files),
                }
                for outcome in self.outcomes
            ],
        }


@dataclass(frozen=True, slots=True)
class BulkSummary:
    """Counts of drawings."""

    total: int
    failed: int
    skipped: int  # already there from an earlier run
