"""How each style name looks: SVG attributes, light and dark colours.

Line kinds follow ISO 128-2: wide continuous for visible edges, narrow continuous for dimensions, leaders and
thread roots, narrow long-dash dot for the axis, narrow long-dash double-dot for the stock. Widths are pixels.
Colours are ours; no meaning hangs on colour alone (dash, number or word say it too).
"""

from __future__ import annotations

STEP_COLOURS = (
    ("#0b62a8", "#6cb8f0"),
    ("#b3450b", "#f0a060"),
    ("#1b7a3d", "#6fd08f"),
    ("#8a2a86", "#dd8fd9"),
    ("#8a6a00", "#e0c050"),
    ("#006d77", "#5fd3dd"),
    ("#a01c37", "#f08aa0"),
    ("#4b4bb5", "#a7a7f5"),
    ("#5b6b1e", "#b9cc66"),
    ("#6a4a3a", "#cfa892"),
)

COLOURS: dict[str, tuple[str, str]] = {
    "paper": ("#ffffff", "#16191d"),
    "ink": ("#15181c", "#e8eaed"),
    "faint": ("#5a626b", "#a5adb6"),
    "rule": ("#c9ced4", "#3b424a"),
    "part": ("#e4e9ee", "#333b45"),
    "section": ("#eef1f4", "#2a3139"),
    "stock": ("#4d5560", "#aab3bd"),
    "left-over": ("#d9c9a3", "#5b5138"),
    "insert": ("#f5d76e", "#8f7a22"),
    "holder": ("#b9c2cc", "#56606b"),
    "stop": ("#b00020", "#ff8a8a"),
    "fix": ("#8a5a00", "#f0c060"),
    "note": ("#1a5a9a", "#80bdf5"),
    "good": ("#1b6b34", "#7ad495"),
    **{f"step-{index}": pair for index, pair in enumerate(STEP_COLOURS)},
}

HATCH_COLOURS = ("faint", "ink", "section", "part")
FONT = "'DejaVu Sans', Verdana, sans-serif"


def _line(colour: str, width: float, dash: str = "") -> dict[str, str]:
    look = {"fill": "none", "stroke": colour, "stroke-width": f"{width:g}", "stroke-linejoin": "round"}
    return look | ({"stroke-dasharray": dash} if dash else {})


def _area(colour: str, edge: str = "", width: float = 0.0) -> dict[str, str]:
    look = {"fill": colour, "fill-rule": "evenodd"}
    return look | ({"stroke": edge, "stroke-width": f"{width:g}"} if edge else {"stroke": "none"})


def _text(size: float, colour: str = "ink", weight: str = "") -> dict[str, str]:
    look = {"font-size": f"{size:g}", "fill": colour, "stroke": "none"}
    return look | ({"font-weight": weight} if weight else {})


STYLES: dict[str, dict[str, str]] = {
    "paper": _area("paper"),
    "panel": _area("none", "rule", 1.0),
    "part": _area("part"),
    "section": _area("hatch:section"),
    "left-over": _area("left-over"),
    "outline": _line("ink", 2.4) | {"stroke-linecap": "round"},
    "edge": _line("ink", 1.6),
    "thin": _line("ink", 0.9),
    "axis": _line("ink", 0.9, "18 4 3 4"),
    "stock": _line("stock", 1.1, "16 4 2 4 2 4"),
    "jaw": _area("hatch:jaw", "ink", 1.4),
    "leader": _line("faint", 0.8),
    "dimension": _line("faint", 0.8),
    "dot": _area("faint"),
    "datum": _area("paper", "stop", 1.6),
    "balloon": _area("paper", "ink", 1.1),
    "tool": _area("insert", "ink", 1.2),
    "holder": _area("holder", "faint", 1.0) | {"fill-opacity": "0.55"},
    "unreached": _area("stop", "stop", 1.0) | {"fill-opacity": "0.35"},
    "title": _text(25, weight="bold"),
    "heading": _text(18, weight="bold"),
    "text": _text(15),
    "text-bold": _text(15, weight="bold"),
    "small": _text(13.5),
    "tiny": _text(12, "faint"),
    "balloon-text": _text(12.5, weight="bold"),
    "good": _text(15, "good", "bold"),
    "partly": _text(15, "fix", "bold"),
    "bad": _text(15, "stop", "bold"),
    "mark-text": _text(13, "paper", "bold"),
    **{f"{name}-mark": _area(name, "paper", 1.2) for name in ("stop", "fix", "note")},
    **{f"feed-{index}": _line(f"step-{index}", 1.7) for index in range(len(STEP_COLOURS))},
    **{f"rapid-{index}": _line(f"step-{index}", 1.0, "6 5") for index in range(len(STEP_COLOURS))},
    **{f"step-text-{index}": _text(13.5, f"step-{index}", "bold") for index in range(len(STEP_COLOURS))},
}


def step_index(number: int) -> int:
    """Which of the step colours the `number`-th step takes."""
    return number % len(STEP_COLOURS)


def attributes(style: str, dark: bool = False) -> dict[str, str]:
    """SVG attributes of a style with its colours filled in."""
    return {name: _filled(text, dark) for name, text in STYLES[style].items()}


def _filled(text: str, dark: bool) -> str:
    if text.startswith("hatch:"):
        return f"url(#hatch-{text.removeprefix('hatch:')})"
    pair = COLOURS.get(text)
    return text if pair is None else pair[1 if dark else 0]


def css() -> str:
    """The styles as a style sheet with one variable a colour, light and dark, for the page."""
    light = "".join(f"--{name}:{pair[0]};" for name, pair in COLOURS.items())
    dark = "".join(f"--{name}:{pair[1]};" for name, pair in COLOURS.items())
    rules = "\n".join(
        f"svg .{name}{{{''.join(f'{key}:{_variable(text)};' for key, text in look.items())}}}"
        for name, look in STYLES.items()
    )
    hatches = "".join(f".stroke-{c}{{stroke:var(--{c})}}.fill-{c}{{fill:var(--{c})}}" for c in HATCH_COLOURS)
    return (
        f":root{{{light}}}\n"
        f"@media (prefers-color-scheme: dark){{:root{{{dark}}}}}\n"
        f"@media print{{:root{{{light}}}}}\n{hatches}\n{rules}"
    )


def _variable(text: str) -> str:
    if text.startswith("hatch:"):
        return f"url(#hatch-{text.removeprefix('hatch:')})"
    return f"var(--{text})" if text in COLOURS else text
