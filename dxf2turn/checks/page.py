"""The page docs/checks.md, out of the rules themselves.

`python -m dxf2turn.checks.page > docs/checks.md` writes it anew; a test holds the two together.
"""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.checks.limits import statements
from dxf2turn.checks.model import Check
from dxf2turn.checks.run import CHECKS

HEAD = """\
# Checks

Each rule looks at the recognised part and the shop and says what a person at the lathe would say. This page
is made from the rules: `python -m dxf2turn.checks.page > docs/checks.md`.

Severities: **stop** - no plan can make it with this shop; **fix** - it can be made, but somebody should look
at it; **note** - good to know. A rule that does not apply to a part is skipped with its reason; a rule that
crashes becomes the finding `checks/crash`, and the others go on.

Thresholds stand in `dxf2turn/data/check_limits.csv` with unit, source and standing. *copied* - read in the
source; *computed* - follows from geometry; *common practice* - usual, without a source. Source keys:
docs/tables.md.
"""


def page() -> str:
    """The whole page."""
    return "\n".join([HEAD, *(line for check in CHECKS for line in _section(check))])


def _section(check: Check) -> Iterator[str]:
    yield f"## {check.id}"
    yield ""
    yield f"`{check.code}`: {check.why}"
    yield ""
    for rule in check.rules:
        statement, source = statements(rule)
        yield f"- {rule}: {statement}. Source: {source}."
    if check.rules:
        yield ""


if __name__ == "__main__":
    print(page(), end="")
