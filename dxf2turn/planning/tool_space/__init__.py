"""Where a tool may go: its space around the part, exact, and what it sweeps on its way."""
