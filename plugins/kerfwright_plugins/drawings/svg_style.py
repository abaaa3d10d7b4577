"""What of CSS bears on outlines: shown or not, filled or not, and by which rule. Simple selectors only."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType
from xml.etree.ElementTree import Element

from attrs import Factory, define

__all__ = ["INHERITED", "Styles", "local"]

INHERITED: Mapping[str, str] = MappingProxyType(
    {"visibility": "visible", "fill": "black", "fill-rule": "nonzero", "stroke": "none"}
)
"""Properties handed down, with what they are at first (SVG 1.1, appendix N)."""

_OWN = ("display", "clip-path", "mask")
_SHAPING = ("transform", "d", "x", "y", "width", "height", "r", "rx", "ry", "cx", "cy")
_SIMPLE = re.compile(r"\*|[A-Za-z]*(?:[.#][\w-]+)?")


def local(tag: object) -> str:
    """A tag or attribute without its namespace.

    >>> local("{http://www.w3.org/2000/svg}path")
    'path'
    """
    return str(tag).rpartition("}")[2]


def _declared(text: str) -> dict[str, str]:
    pairs = (part.partition(":") for part in text.split(";"))
    return {k.strip().lower(): v.replace("!important", "").strip() for k, c, v in pairs if c}


@define(eq=False)
class Styles:
    """Rules of the style sheets in order; `odd` counts selectors that are not understood."""

    rules: list[tuple[str, dict[str, str]]] = Factory(list)
    odd: int = 0

    def add(self, text: str) -> None:
        """Take in one `style` element. Raises ValueError where it fetches something."""
        text = re.sub(r"/\*.*?\*/", "", text, flags=re.DOTALL)
        if "@import" in text or re.search(r"url\(\s*['\"]?(?!#)", text):
            raise ValueError("a style sheet fetches another file, which is not read")
        for selectors, body in re.findall(r"([^{}]+)\{([^{}]*)\}", text):
            for one in (s.strip() for s in selectors.split(",")):
                if _SIMPLE.fullmatch(one) and one:
                    self.rules.append((one, _declared(body)))
                else:
                    self.odd += 1

    def of(self, element: Element, around: Mapping[str, str]) -> dict[str, str]:
        """The properties of an element: handed down, its attributes, the style sheet, its `style`; later ones win.

        Raises ValueError where CSS moves or shapes the element, which only attributes may.
        """
        tag, classes, own = local(element.tag), element.get("class", "").split(), element.get("id", "")
        found: dict[str, str] = {}
        names = {"*": 0, tag: 1, **{f".{c}": 2 for c in classes}, **{f"{tag}.{c}": 3 for c in classes}}
        names |= {f"#{own}": 4, f"{tag}#{own}": 5} if own else {}
        for _, body in sorted(((names[s], b) for s, b in self.rules if s in names), key=lambda row: row[0]):
            found |= body
        found |= _declared(element.get("style", ""))
        shaping = [k for k in _SHAPING if k in found and found[k] not in ("none", "auto")]
        if shaping:
            raise ValueError(f"{shaping[0]} in a style: allowed as an attribute only")
        out = dict(around)
        for key in (*INHERITED, *_OWN):
            value = found.get(key, element.get(key, "")).strip()
            if value and value != "inherit":
                out[key] = value
            elif key in _OWN:
                out.pop(key, None)
        return out
