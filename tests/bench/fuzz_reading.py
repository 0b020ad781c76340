"""Long run of the reader's damage test: `python tests/bench/fuzz_reading.py [seconds] [first seed] [check]`.

Prints what became of the damaged files and the first file of each kind of escape. With `check` the damage is
done to the demo drawings, which then go through the whole of `dxf2turn check`. Not collected by pytest.
"""

from __future__ import annotations

import sys
import time
import traceback
from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from dxf2turn import pipeline  # noqa: E402
from dxf2turn.errors import UnreadableDrawing  # noqa: E402
from tests.reading.builders import read  # noqa: E402
from tests.reading.mutants import mutants  # noqa: E402
from tests.reading.test_fuzz import COARSE, assert_sound  # noqa: E402

FINE = ("read", "refused", "part", "stopped")


def main(seconds: float, seed: int, judge: Callable[[bytes], str], bases: Sequence[bytes]) -> int:
    outcomes: Counter[str] = Counter()
    slowest, where = 0.0, ""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        for number, data in enumerate(mutants(seed, 40, bases)):
            begin = time.process_time()
            outcome = _outcome(data, judge)
            slowest, where = max(
                (slowest, where), (time.process_time() - begin, f"seed {seed}, file {number}")
            )
            outcomes[outcome] += 1
            if outcome not in FINE and outcomes[outcome] == 1:
                print(f"seed {seed}, file {number}: {outcome}", flush=True)
        seed += 1
    print(f"{sum(outcomes.values())} files, slowest {slowest:.2f} s ({where}): {dict(outcomes)}")
    return 0 if set(outcomes) <= set(FINE) else 1


def _outcome(data: bytes, judge: Callable[[bytes], str]) -> str:
    try:
        return judge(data)
    except UnreadableDrawing:
        return "refused"
    except Exception as error:  # noqa: BLE001 - every escape is what this run looks for
        last = traceback.extract_tb(error.__traceback__)[-1]
        return f"{type(error).__name__} at {Path(last.filename).name}:{last.lineno}"


def _read(data: bytes) -> str:
    assert_sound(read(data, COARSE))
    return "read"


def _check(data: bytes) -> str:
    job = pipeline.check(pipeline.read(data))
    return "stopped" if job.stopped or job.part is None else "part"


if __name__ == "__main__":
    whole = "check" in sys.argv
    numbers = [argument for argument in sys.argv[1:] if argument != "check"]
    demos = [file.read_bytes() for file in sorted((ROOT / "drawings" / "good").glob("*.dxf"))]
    sys.exit(
        main(
            float(numbers[0]) if numbers else 60.0,
            int(numbers[1]) if len(numbers) > 1 else 1000,
            _check if whole else _read,
            demos if whole else (),
        )
    )
