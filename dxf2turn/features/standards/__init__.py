"""One module a standard: recognised features against its table, near misses named."""
