"""One module a DXF entity that draws a curve: record in, `Shape` out."""
