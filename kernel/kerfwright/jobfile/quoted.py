"""The key `quote`: a mapping, a shop file with such a mapping, or a mapping that says what differs from a shop file."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import attrs

from kerfwright.jobfile import fragments
from kerfwright.jobfile.files import YAML, inside
from kerfwright.jobfile.fragments import Fragment
from kerfwright.jobfile.job import JobReader
from kerfwright.jobfile.nodes import Mapped, Node, Refused, Scalar
from kerfwright.jobfile.reading import BAD, join
from kerfwright.jobfile.words import shown
from kerfwright.pricing.quote import Quote

if TYPE_CHECKING:
    from kerfwright.jobfile.schemas import Schemas

__all__ = ["quote", "quote_schema"]

NOUN = "a mapping of prices and quantity, or a shop file that ends in .yaml"


def quote(reader: JobReader, node: Node, path: str, _: str) -> Any:
    """`shop.yaml`; `{shop: shop.yaml, quantity: 20}`; or all in the job. What the job says goes before the shop file."""
    if isinstance(node, Scalar):
        return _shop(reader, node, path)
    if not isinstance(node, Mapped):
        return reader.fault(node, path, f"found {shown(node)}, allowed: {NOUN}")
    shop = node.get("shop")
    base = None
    if shop is not None:
        base = BAD if isinstance(shop, Refused) else _shop(reader, shop, join(path, "shop"))
    return reader.mapping(node, Quote, path, base=base, extra=("shop",))


def _shop(reader: JobReader, node: Node, path: str) -> Any:
    """The Quote of a shop file. It names no other."""
    if not isinstance(node, Scalar) or not node.text.endswith(YAML):
        noun = NOUN if path == "quote" else "a shop file that ends in .yaml"
        return reader.fault(node, path, f"found {shown(node)}, allowed: {noun}")
    keys = ", ".join(a.name for a in attrs.fields(Quote))
    return inside(reader, node, path, keys, lambda own, root: own.mapping(root, Quote, ""))


def quote_schema(schemas: Schemas, _: str) -> Fragment:
    """As `quote` reads it."""
    shop = fragments.file(YAML) | {"description": "shop file in the job's folder: what the job does not say"}
    return {"anyOf": [shop, schemas.mapping(Quote, extra={"shop": shop})], "description": NOUN}
