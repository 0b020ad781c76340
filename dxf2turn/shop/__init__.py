"""What the workshop has: machines, tools, materials, cutting data."""
