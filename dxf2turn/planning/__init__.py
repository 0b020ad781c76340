"""Setups, steps and moves."""
