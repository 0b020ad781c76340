"""Plane geometry with exact arcs. Knows nothing of DXF or lathes."""
