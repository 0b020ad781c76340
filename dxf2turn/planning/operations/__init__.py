"""One operation a file: part of the target -> moves."""
