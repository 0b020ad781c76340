"""The profile and its notes to named features, threads, limits."""
