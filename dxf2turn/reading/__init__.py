"""DXF in: bytes to a Drawing. The only stage that knows the file format."""
