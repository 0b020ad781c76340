"""One module a DXF entity that carries a text: record in, `Note` out, formatting codes stripped."""
