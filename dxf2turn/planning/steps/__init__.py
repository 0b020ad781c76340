"""One kind of step a file: bench in, bench with more steps out."""
