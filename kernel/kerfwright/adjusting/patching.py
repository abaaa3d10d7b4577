"""A cutter's measured diameter set in the text of a job: comments and all else stay as they are."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import yaml

__all__ = ["CannotPatch", "with_measured"]


class CannotPatch(ValueError):
    """The text is not laid out so that one value can be set in it."""


def with_measured(text: str, found: Mapping[str, float]) -> str:
    """The job's text with `measured` (mm) set for some cutters. Raises CannotPatch; the caller reads the result back.

    >>> print(with_measured("cutters:\\n  mill: {base: burr-2}  # ours\\n", {"mill": 1.98}), end="")
    cutters:
      mill: {measured: 1.9800 mm, base: burr-2}  # ours
    """
    root = yaml.compose(text, Loader=yaml.SafeLoader)
    cutters = _value(root, "cutters")
    edits: list[tuple[int, int, str]] = []
    for name, value in found.items():
        node = _value(cutters, name)
        if node is None:
            raise CannotPatch(f"found no cutter {name!r} in the text")
        edits.append(_edit(text, node, f"{value:.4f} mm"))
    for start, end, new in sorted(edits, reverse=True):
        text = text[:start] + new + text[end:]
    return text


def _value(node: Any, key: str) -> Any:
    if not isinstance(node, yaml.MappingNode):
        return None
    return next((v for k, v in node.value if k.value == key), None)


def _edit(text: str, node: Any, value: str) -> tuple[int, int, str]:
    """Where to put what in place of what."""
    if isinstance(node, yaml.ScalarNode):
        start, end = node.start_mark.index, node.end_mark.index
        return start, end, f"{{base: {text[start:end]}, measured: {value}}}"
    old = _value(node, "measured")
    if old is not None:
        return old.start_mark.index, old.end_mark.index, value
    if not isinstance(node, yaml.MappingNode) or not node.value:
        raise CannotPatch("found no mapping of a cutter")
    first = node.value[0][0].start_mark
    if node.flow_style:
        return first.index, first.index, f"measured: {value}, "
    newline = "\r\n" if "\r\n" in text else "\n"
    return first.index, first.index, f"measured: {value}{newline}{' ' * first.column}"
