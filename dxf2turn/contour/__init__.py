"""Clean pieces to one closed profile in machine coordinates."""
