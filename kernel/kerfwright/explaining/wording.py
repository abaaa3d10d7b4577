"""Docstrings as paragraphs, values as a job file writes them."""

from __future__ import annotations

import inspect
from typing import Any

import yaml

__all__ = ["flow", "paragraphs"]


def paragraphs(thing: object) -> tuple[str, ...]:
    """Of a docstring, each on one line."""
    blocks = (inspect.getdoc(thing) or "").split("\n\n")
    return tuple(" ".join(block.split()) for block in blocks if block.strip())


def flow(value: Any) -> str:
    """A value in one line of YAML.

    >>> flow({"ramp": {"angle": 3}}), flow("%")
    ('{ramp: {angle: 3}}', "'%'")
    """
    text: str = yaml.safe_dump(value, default_flow_style=True, sort_keys=False, width=10_000, allow_unicode=True)
    return text.removesuffix("\n").removesuffix("\n...")
