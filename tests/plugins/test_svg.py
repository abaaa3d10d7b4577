"""SVG: size of the page, transforms, layers, style and fill rules; what could fetch or multiply is refused."""

from __future__ import annotations

import math

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from kerfwright.drawing import Drawing
from kerfwright.errors import Fault, InputError
from kerfwright_plugins.drawings.svg import Svg

PAGE = 'width="100mm" height="50mm" viewBox="0 0 100 50"'
PX = 25.4 / 96
"""mm of a px (CSS Values and Units: 96 to the inch)."""


def page(body: str, head: str = PAGE) -> bytes:
    names = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" xmlns:any="urn:any"'
    return f"<svg {names} {head}>{body}</svg>".encode()


def read(body: str, head: str = PAGE) -> Drawing:
    return Svg().read(page(body, head), "plate.svg")


def refused(data: bytes) -> list[str]:
    with pytest.raises(InputError) as caught:
        Svg().read(data, "plate.svg")
    assert all(f.path == "plate.svg" for f in caught.value.faults)
    return [f.message for f in caught.value.faults]


def told(drawing: Drawing) -> list[str]:
    return [r.message for r in drawing.remarks]


HALF = 50**0.5
BY_HAND = {
    "circle": ('<circle cx="10" cy="10" r="5"/>', 25 * math.pi, (5, 35, 15, 45)),
    "ellipse": ('<ellipse cx="20" cy="10" rx="10" ry="5"/>', 50 * math.pi, (10, 35, 30, 45)),
    "rect": ('<rect x="10" y="10" width="20" height="5"/>', 100, (10, 35, 30, 40)),
    "rounded rect": ('<rect x="10" y="10" width="20" height="10" rx="2"/>', 200 - (4 - math.pi) * 4, (10, 30, 30, 40)),
    "rect, one radius too large": ('<rect width="20" height="10" ry="9"/>', 200 - (4 - math.pi) * 9 * 5, (0, 40, 20, 50)),
    "polygon": ('<polygon points="0,0 30,0 0,40"/>', 600, (0, 10, 30, 50)),
    "polyline, closed by hand": ('<polyline points="0 0 30 0 0 40 0 0"/>', 600, (0, 10, 30, 50)),
    "lines of four elements": ('<line x2="10"/><line x1="10" x2="10" y2="10"/><polyline points="10,10 0,10 0,0"/>', 100, (0, 40, 10, 50)),
    "path": ('<path d="M0,0h10v10a5 5 0 01-10 0z"/>', 100 + 12.5 * math.pi, (0, 35, 10, 50)),
    "cubic": ('<path d="M0 0 L10 0 C10 10 0 10 0 0"/>', 60, (0, 42.5, 10, 50)),
    "quadratic": ('<path d="M0 0 L10 0 Q5 10 0 0"/>', 100 / 3, (0, 45, 10, 50)),
    "translate": ('<rect width="2" height="2" transform="translate(10 20)"/>', 4, (10, 28, 12, 30)),
    "scale": ('<rect width="2" height="2" transform="scale(3, 2)"/>', 24, (0, 46, 6, 50)),
    "rotate about a point": ('<rect x="10" y="10" width="4" height="2" transform="rotate(90 10 10)"/>', 8, (8, 36, 10, 40)),
    "rotate": ('<rect width="10" height="10" transform="translate(20,0) rotate(45)"/>', 100, (20 - HALF, 50 - 2 * HALF, 20 + HALF, 50)),
    "skewX": ('<rect width="10" height="10" transform="skewX(45)"/>', 100, (0, 40, 20, 50)),
    "skewY": ('<rect width="10" height="10" transform="skewY(45)"/>', 100, (0, 30, 10, 50)),
    "matrix": ('<rect width="1" height="1" transform="matrix(2 0 0 3 5 6)"/>', 6, (5, 41, 7, 44)),
    "nested": ('<g transform="translate(10,0)"><g transform="scale(2)"><circle r="1" cx="5" cy="5" transform="rotate(90 5 5) translate(0 2)"/></g></g>', 4 * math.pi, (14, 38, 18, 42)),
    "mirrored arc": ('<path transform="translate(50 0) scale(-1 1)" d="M0,0h10v10a5 5 0 01-10 0z"/>', 100 + 12.5 * math.pi, (40, 35, 50, 50)),
    "units in attributes": ('<rect x="1cm" width="1in" height="96px" y="6pt" transform="scale(.1)"/>', 9.6 * 9.6, (96 / 25.4, 50 - 9.6 - 0.8, 96 / 25.4 + 9.6, 49.2)),
    "percent": ('<rect x="10%" y="10%" width="50%" height="50%"/>', 50 * 25, (10, 20, 60, 45)),
    "use": ('<defs><rect id="a" width="2" height="2"/></defs><use href="#a" x="10" y="5" transform="scale(2)"/>', 16, (20, 36, 24, 40)),
    "old use of a symbol": ('<symbol id="s" viewBox="0 0 10 10"><circle cx="5" cy="5" r="5"/></symbol><use xlink:href="#s" x="10" width="20" height="20"/>', 100 * math.pi, (10, 30, 30, 50)),
    "svg in svg": ('<svg x="10" y="10" width="40" height="20" viewBox="0 0 10 10"><rect width="10" height="10"/></svg>', 400, (20, 20, 40, 40)),
    "switch": ('<switch><rect width="1" height="1" requiredExtensions="urn:x"/><rect width="2" height="2"/><rect width="3" height="3"/></switch>', 4, (0, 48, 2, 50)),
    "a link": ('<a><rect width="2" height="2"/></a>', 4, (0, 48, 2, 50)),
}  # fmt: skip


@pytest.mark.parametrize(("body", "area", "bounds"), BY_HAND.values(), ids=BY_HAND)
def test_areas_and_extents_worked_by_hand(body, area, bounds):
    """Flattening keeps within 0.0005 mm, so areas within that times the outline's length."""
    (loop,) = read(body).loops
    assert loop.curve.signed_area == pytest.approx(
        area, abs=1e-6 + (0.0005 * loop.curve.length if len(loop.curve) > 12 else 0)
    )
    assert loop.curve.bounds == pytest.approx(bounds, abs=0.0005)


ARCS = {
    "": 2, "rotate(17)": 2, "scale(-2 2)": 2, "scale(2) skewX(0)": 2, "matrix(0 1 1 0 0 0)": 2,
}  # fmt: skip


@pytest.mark.parametrize(("transform", "segments"), ARCS.items())
def test_circles_stay_arcs_under_what_keeps_them_round(transform, segments):
    (loop,) = read(f'<g transform="translate(50 25) {transform}"><circle r="3"/></g>').loops
    assert len(loop.curve) == segments
    assert loop.curve.turns == pytest.approx([math.pi, math.pi])


def test_an_ellipse_made_round_again_is_a_circle():
    (loop,) = read('<ellipse rx="3" ry="6" cx="10" cy="10" transform="scale(2 1)"/>').loops
    assert loop.circle.diameter == pytest.approx(12)
    assert len(loop.curve) == 2


PAGES = {
    "mm with a viewBox": ('width="100mm" height="50mm" viewBox="0 0 200 100"', (5, 40, 10, 45), []),
    "offset viewBox": ('width="100mm" height="50mm" viewBox="-10 -10 100 50"', (20, 20, 30, 30), []),
    "inch": ('width="1in" height="2in" viewBox="0 0 25.4 50.8"', (10, 30.8, 20, 40.8), []),
    "px": ('width="200" height="100"', (10 * PX, 80 * PX, 20 * PX, 90 * PX), ["the drawing states no unit: its numbers count as px, 96 to the inch"]),
    "px said": ('width="200px" height="100px"', (10 * PX, 80 * PX, 20 * PX, 90 * PX), []),
    "no size": ('viewBox="0 0 100 50"', (10 * PX, 30 * PX, 20 * PX, 40 * PX), ["the drawing has no width and height: a unit of its viewBox counts as 1 px, 96 to the inch"]),
    "percent is no size": ('width="100%" height="100%" viewBox="0 0 100 50"', (10 * PX, 30 * PX, 20 * PX, 40 * PX), ["the drawing has no width and height: a unit of its viewBox counts as 1 px, 96 to the inch"]),
    "width alone": ('width="200mm" viewBox="0 0 100 50"', (20, 60, 40, 80), []),
    "height alone": ('height="100mm" viewBox="0 0 100 50"', (20, 60, 40, 80), []),
    "no page at all": ("", (10 * PX, -20 * PX, 20 * PX, -10 * PX), ["the drawing has no height: Y counts from its top", "the drawing states no unit: its numbers count as px, 96 to the inch"]),
    "a wider page": ('width="200mm" height="50mm" viewBox="0 0 100 50"', (60, 30, 70, 40), []),
    "a wider page, to the left": ('width="200mm" height="50mm" viewBox="0 0 100 50" preserveAspectRatio="xMinYMin meet"', (10, 30, 20, 40), []),
    "a wider page, stretched": ('width="200mm" height="50mm" viewBox="0 0 100 50" preserveAspectRatio="none"', (20, 30, 40, 40), []),
    "a wider page, filled": ('width="200mm" height="50mm" viewBox="0 0 100 50" preserveAspectRatio="xMidYMax slice"', (20, 60, 40, 80), []),
}  # fmt: skip


@pytest.mark.parametrize(("head", "bounds", "remarks"), PAGES.values(), ids=PAGES)
def test_where_a_square_of_ten_units_at_10_10_lands(head, bounds, remarks):
    drawing = read('<rect x="10" y="10" width="10" height="10"/>', head)
    assert drawing.bounds == pytest.approx(bounds, abs=1e-9)
    assert told(drawing) == remarks


LAYERS = {
    "own id": ('<circle id="hole" r="1"/>', "hole"),
    "nearest group's id": ('<g id="a"><g id="b"><circle id="hole" r="1"/></g></g>', "b"),
    "label before id": ('<g id="a" any:label="recess"><g id="b"><circle r="1"/></g></g>', "recess"),
    "nearest label": ('<g any:label="sheet"><g any:label="recess"><circle r="1"/></g></g>', "recess"),
    "use": ('<defs><circle id="c" r="1"/></defs><g id="a"><use href="#c"/></g>', "a"),
    "use with an id": ('<defs><circle id="c" r="1"/></defs><g id="a"><use id="u" href="#c"/></g>', "u"),
    "none": ('<circle r="1"/>', ""),
}


@pytest.mark.parametrize(("body", "layer"), LAYERS.values(), ids=LAYERS)
def test_groups_and_ids_are_layers(body, layer):
    assert read(body).loops[0].layer == layer


PASSED = {
    "attribute": ('<circle r="9" display="none"/>', "1 element passed over: not displayed"),
    "style": ('<g style="display: none"><circle r="9"/><circle r="9"/></g>', "1 element passed over: not displayed"),
    "class": ('<style>.ref, #q {display:none}</style><circle r="9" class="a ref"/><circle id="q" r="8"/>', "2 elements passed over: not displayed"),
    "hidden": ('<g visibility="hidden"><circle r="9"/></g>', "1 element passed over: not visible"),
    "no paint": ('<circle r="9" fill="none"/>', "1 element passed over: neither filled nor stroked"),
    "no size": ('<rect width="0" height="5"/>', "1 element passed over: of no size"),
    "text": ("<text>M3</text><text>M4</text>", "2 elements passed over: text"),
    "image": ('<image href="http://nowhere/a.png"/>', "1 element passed over: image"),
    "selector": ("<style>g > circle {display:none}</style>", "1 style rule passed over: only tag, .class and #id are read"),
}  # fmt: skip


@pytest.mark.parametrize(("body", "remark"), PASSED.values(), ids=PASSED)
def test_what_does_not_count_is_told(body, remark):
    drawing = read('<rect x="30" width="5" height="5"/>' + body)
    assert len(drawing.loops) == 1
    assert told(drawing) == [remark]


def test_visible_again_inside_what_is_hidden():
    assert len(read('<g visibility="hidden"><circle r="2" visibility="visible"/></g>').loops) == 1


def test_definitions_are_not_drawn():
    body = '<defs><circle id="c" r="9"/></defs><symbol id="s"><circle r="9"/></symbol><clipPath id="k"><circle r="9"/></clipPath>'
    drawing = read(body + '<metadata/><title>t</title><rect width="2" height="2"/>')
    assert len(drawing.loops) == 1
    assert told(drawing) == []


OUT, SAME_WAY, OTHER_WAY = "M0 0H30V30H0Z", "M10 10h10v10h-10z", "M10 10v10h10v-10z"
RULES = {
    "nonzero, other way: a hole": (f'<path d="{OUT}{OTHER_WAY}"/>', [0, 1]),
    "evenodd, same way: a hole": (f'<path fill-rule="evenodd" d="{OUT}{SAME_WAY}"/>', [0, 1]),
    "evenodd from a group's style": (f'<g style="fill-rule:evenodd"><path d="{OUT}{SAME_WAY}"/></g>', [0, 1]),
    "not filled: lines are lines": (f'<path fill="none" stroke="red" d="{OUT}{SAME_WAY}"/>', [0, 1]),
    "two elements: outlines, not paint": (f'<path d="{OUT}"/><path d="{SAME_WAY}"/>', [0, 1]),
    "beside each other": (f'<path d="{OUT}M40 10h5v5h-5z"/>', [0, 0]),
    "an island in a hole": (f'<path d="{OUT}{OTHER_WAY}M13 13h2v2h-2z"/>', [0, 1, 2]),
}


@pytest.mark.parametrize(("body", "depths"), RULES.values(), ids=RULES)
def test_fill_rules_that_agree_with_nesting(body, depths):
    assert [o.depth for o in read(body).loops] == depths


DTD = b'<?xml version="1.0"?><!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/svg11.dtd"%s>'


def test_a_bare_doctype_is_harmless():
    """Nothing is fetched; SVG 1.1 itself recommends the line."""
    assert len(Svg().read(DTD % b"" + page('<circle r="1"/>'), "p").loops) == 1


LAUGHS = b'[<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]'
USES = '<g id="l0"><circle r="1"/></g>' + "".join(
    f'<g id="l{k + 1}">' + f'<use href="#l{k}"/>' * 10 + "</g>" for k in range(7)
)

REFUSED = {
    "empty": (b"", "the file cannot be read as XML: no element found"),
    "no XML": (b"M0 0L1 1", "the file cannot be read as XML: syntax error"),
    "cut off": (page('<circle r="1"/>')[:-3], "the file cannot be read as XML: "),
    "another root": (b"<html/>", "found the element 'html', allowed: svg"),
    "nothing": (page(""), "found no outline, allowed: at least one closed outline"),
    "no paint on anything": (page('<g fill="none"><circle r="9"/><rect width="9" height="9"/></g><text>A</text>'), "found no outline, allowed: at least one closed outline; 2 elements passed over: neither filled nor stroked; 1 element passed over: text"),
    "a style that is not read": (page('<style>g > circle {fill:red}</style><g fill="none"><circle r="9"/></g>'), "1 element passed over: neither filled nor stroked; 1 style rule passed over: only tag, .class and #id are read"),
    "entities": (DTD % LAUGHS + page("<text>&b;</text>"), "found a DOCTYPE with declarations of its own, which may hold entities: take it out"),
    "external entity": (DTD % b'[<!ENTITY x SYSTEM "file:///etc/hostname">]' + page("<text>&x;</text>"), "found a DOCTYPE with declarations of its own"),
    "entities in UTF-16": ((DTD % LAUGHS).decode().encode("utf-16"), "found a DOCTYPE with declarations of its own"),
    "an entity nobody declared": (DTD % b"" + page("<text>&b;</text>"), "the file cannot be read as XML: undefined entity"),
    "too deep": (page("<g>" * 100 + "</g>" * 100), "elements lie inside elements more than 100 deep"),
    "multiplying uses": (page(USES), "more than 50000 elements, counted as often as used"),
    "uses one after the other": (page('<circle id="u0" r="1"/>' + "".join(f'<use id="u{k + 1}" href="#u{k}"/>' for k in range(2000))), "or elements inside elements more than 100 deep"),
    "use of itself": (page('<g id="a"><use id="u" href="#a"/></g>'), "use 'u': #a uses itself"),
    "use of nothing": (page('<use href="#b"/>'), "use: found a reference to '#b', which is not in this file"),
    "use of another file": (page('<use href="b.svg#b"/>'), "use: found a reference to 'b.svg#b', allowed: to an id of this file"),
    "a style that imports": (page("<style>@import 'a.css';</style>"), "a style sheet fetches another file, which is not read"),
    "a style that fetches": (page("<style>rect{fill:url(http://x/y)}</style>"), "a style sheet fetches another file, which is not read"),
    "clip": (page('<g clip-path="url(#k)"><rect width="1" height="1"/></g>'), "g: found a clip-path, which is not applied: cut the outline itself"),
    "mask": (page('<rect id="r" width="1" height="1" style="mask:url(#k)"/>'), "rect 'r': found a mask, which is not applied"),
    "shape in a style": (page('<circle r="1" style="r:5"/>'), "circle: r in a style: allowed as an attribute only"),
    "path": (page('<path id="p" d="M0 0 L 5"/>'), "path 'p': found 'L 5' at character 6, allowed: a command of the SVG path grammar with its numbers"),
    "points": (page('<polygon points="0 0 1"/>'), "polygon: points: found 3 numbers, allowed: pairs"),
    "points' words": (page('<polygon points="0 0 a b"/>'), "polygon: found '0 0 a b', allowed: numbers"),
    "length": (page('<circle r="2em"/>'), "circle: r: found '2em', allowed: a number with px, mm, cm, in, pt, pc, Q or none"),
    "negative": (page('<circle r="-2"/>'), "circle: r: found -2, allowed: 0 or more"),
    "endless": (page('<circle r="1e999"/>'), "circle: r: found '1e999', allowed: a finite number"),
    "endless by multiplying": (page('<g transform="scale(1e200)"><circle r="1" transform="scale(1e200)"/></g>'), "circle: a coordinate is not a finite number"),
    "viewBox without end": (page('<circle r="1"/>', 'viewBox="0 1e999 5 5"'), "a coordinate is not a finite number"),
    "transform": (page('<circle r="1" transform="turn(5)"/>'), "circle: transform: found 'turn(5)', allowed: matrix, translate, scale, rotate, skewX, skewY"),
    "transform's numbers": (page('<circle r="1" transform="rotate(5 6)"/>'), "circle: transform: found 'rotate(5 6)'"),
    "viewBox": (page("", 'viewBox="0 0 0 5"'), "viewBox: found '0 0 0 5', allowed: x y width height, both above 0"),
    "inner viewBox": (page('<svg viewBox="0 0 5"><rect width="1" height="1"/></svg>'), "svg: viewBox: found '0 0 5', allowed: x y width height, in a viewport that has a size"),
    "width": (page("", 'width="-5mm"'), "width: found '-5mm', allowed: above 0"),
    "aspect": (page("", 'width="5" height="5" viewBox="0 0 1 1" preserveAspectRatio="left"'), "preserveAspectRatio: found 'left', allowed: none, or as xMidYMid meet"),
    "fill rule": (page(f'<path id="p" d="{OUT}{SAME_WAY}"/>'), "path 'p': by its fill-rule nonzero the outline at 10, 40 is filled on both sides: it is no edge. Allowed: fill-rule evenodd, or the outline turned the other way"),
    "open": (page('<path fill="none" stroke="red" d="M0 50L10 50"/>'), "an outline is not closed: open end at 0, 0, the nearest other open end lies 10.000 mm away at 10, 0; allowed: 0.1 mm; a center line or the like: take it out of the drawing"),
    "flat for ever": (page('<circle r="1" transform="scale(0 1)"/>'), "an outline has no area, at 0, 50"),
}  # fmt: skip


@pytest.mark.parametrize(("data", "message"), REFUSED.values(), ids=REFUSED)
def test_what_is_refused(data, message):
    assert any(message in m for m in refused(data))


def test_all_faults_are_told_at_once():
    assert len(refused(page('<circle r="-1"/><path d="x"/><use href="#b"/><rect width="2" height="2"/>'))) == 3


GOOD = page('<g id="a" transform="rotate(3)"><path d="M0 0h10v10h-10z"/></g>')


@given(st.binary(max_size=200), st.text(max_size=40), st.integers(0, 3), st.integers(0, len(GOOD)))
@settings(max_examples=200, deadline=None)
@example(b"\xff\xfe\x00", "", 0, 0)
@example(b"<?xml version='1.0' encoding='none'?><svg/>", "", 0, 0)
def test_garbage_is_refused_in_plain_words(noise, text, where, at):
    """All 200 cases reach the assertion: bytes alone, bytes in a good file, text as a path's data, text as a transform."""
    quoted = text.replace("&", "").replace("<", "").replace('"', "")
    data = [
        noise,
        GOOD[:at] + noise + GOOD[at:],
        page(f'<path d="M0 0 {quoted}"/>'),
        page(f'<circle r="1" transform="{quoted}"/>'),
    ][where]
    faults: tuple[Fault, ...] = ()
    try:
        Svg().read(data, "noise.svg")
    except InputError as e:
        faults = e.faults
    assert all(f.path == "noise.svg" and f.message for f in faults)
