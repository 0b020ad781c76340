"""The second reading: a general DXF library (ezdxf) reads the file too, and must say the same.

It supplies no number of the drawing. Loaded only when a file is read; nothing else here imports it.
"""
