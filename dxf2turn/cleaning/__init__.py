"""Untidy linework to clean pieces in mm; every repair logged."""
