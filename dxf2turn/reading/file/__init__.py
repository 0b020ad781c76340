"""From bytes to records: containers, tags, numbers, sections, tables. Nothing here knows geometry."""
