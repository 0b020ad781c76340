"""The examples in the docstrings of the features stage and of the tables run as they stand."""

from __future__ import annotations

import doctest
import importlib
import pkgutil

import pytest

from dxf2turn import features

MODULES = [
    "dxf2turn.tables",
    *(f"dxf2turn.features.{m.name}" for m in pkgutil.iter_modules(features.__path__)),
]


@pytest.mark.parametrize("name", MODULES)
def test_docstring_examples_run(name: str) -> None:
    """Every example gives what it says."""
    assert doctest.testmod(importlib.import_module(name)).failed == 0
