"""Long run of the reader's damage test: `python tests/bench/fuzz_reading.py [seconds] [first seed]`.

Prints what became of the damaged files and the first file of each kind of escape. Not collected by pytest.
"""

from __future__ import annotations

import sys
import time
import traceback
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from dxf2turn.errors import UnreadableDrawing  # noqa: E402
from tests.reading.builders import read  # noqa: E402
from tests.reading.mutants import mutants  # noqa: E402
from tests.reading.test_fuzz import COARSE, assert_sound  # noqa: E402


def main(seconds: float, seed: int) -> int:
    outcomes: Counter[str] = Counter()
    slowest, where = 0.0, ""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        for number, data in enumerate(mutants(seed, 40)):
            begin = time.monotonic()
            outcome = _outcome(data)
            slowest, where = max((slowest, where), (time.monotonic() - begin, f"seed {seed}, file {number}"))
            outcomes[outcome] += 1
            if outcome not in ("read", "refused") and outcomes[outcome] == 1:
                print(f"seed {seed}, file {number}: {outcome}")
        seed += 1
    print(f"{sum(outcomes.values())} files, slowest {slowest:.2f} s ({where}): {dict(outcomes)}")
    return 0 if set(outcomes) <= {"read", "refused"} else 1


def _outcome(data: bytes) -> str:
    try:
        assert_sound(read(data, COARSE))
    except UnreadableDrawing:
        return "refused"
    except Exception as error:  # noqa: BLE001 - every escape is what this run looks for
        last = traceback.extract_tb(error.__traceback__)[-1]
        return f"{type(error).__name__} at {Path(last.filename).name}:{last.lineno}"
    return "read"


if __name__ == "__main__":
    arguments = sys.argv[1:]
    sys.exit(
        main(float(arguments[0]) if arguments else 60.0, int(arguments[1]) if len(arguments) > 1 else 1000)
    )
