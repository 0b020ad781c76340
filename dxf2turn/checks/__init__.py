"""Whether the part can be made in this shop: one rule a file, each with its reason and its source."""
