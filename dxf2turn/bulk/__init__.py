"""Many drawings, each in a process of its own."""
