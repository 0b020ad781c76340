"""Tool geometry, one module a family: an entry of tools.toml in, a `Tool` out."""
