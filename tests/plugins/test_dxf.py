"""DXF: layers, blocks, heights and hidden things; what is passed over is told, what is damaged is refused."""

from __future__ import annotations

import io
import math
import time

import ezdxf
import pytest
from ezdxf.document import Drawing as Document
from hypothesis import example, given, settings
from hypothesis import strategies as st

from kerfwright.drawing import Drawing
from kerfwright.errors import Fault, InputError
from kerfwright_plugins.drawings import kerfwright_drawings
from kerfwright_plugins.drawings.dxf import Dxf


def document(units: int = 4, version: str = "R2010") -> Document:
    doc = ezdxf.new(version)
    doc.header["$INSUNITS"] = units
    return doc


def written(doc: Document, binary: bool = False) -> bytes:
    if binary:
        raw = io.BytesIO()
        doc.write(raw, fmt="bin")
        return raw.getvalue()
    text = io.StringIO()
    doc.write(text)
    return text.getvalue().encode()


def read(doc: Document) -> Drawing:
    return Dxf().read(written(doc), "plate.dxf")


def refused(data: Document | bytes) -> list[str]:
    with pytest.raises(InputError) as caught:
        Dxf().read(data if isinstance(data, bytes) else written(data), "plate.dxf")
    assert all(f.path == "plate.dxf" for f in caught.value.faults)
    return [f.message for f in caught.value.faults]


def told(drawing: Drawing) -> list[str]:
    return [r.message for r in drawing.remarks]


def test_both_readers_are_offered():
    assert [(r.name, r.suffixes) for r in kerfwright_drawings()] == [("dxf", (".dxf",)), ("svg", (".svg",))]


def test_layers_and_layer_0_in_blocks():
    """Layer 0 inside a block is its insert's, however deep; other layers keep their name."""
    doc = document()
    inner = doc.blocks.new("inner")
    inner.add_circle((0, 0), 1)
    inner.add_circle((5, 0), 1, dxfattribs={"layer": "mark"})
    outer = doc.blocks.new("outer")
    outer.add_blockref("inner", (0, 10))
    outer.add_blockref("inner", (0, 20), dxfattribs={"layer": "deep"})
    doc.modelspace().add_blockref("outer", (100, 0), dxfattribs={"layer": "top"})
    doc.modelspace().add_circle((0, 0), 3)
    got = {(round(o.circle.x), round(o.circle.y)): o.layer for o in read(doc).loops}
    assert got == {(100, 10): "top", (105, 10): "mark", (100, 20): "deep", (105, 20): "mark", (0, 0): "0"}


def test_hidden_things_are_passed_over_and_told():
    doc = document()
    for name in ("frozen", "off"):
        doc.layers.add(name)
    doc.layers.get("frozen").freeze()
    doc.layers.get("off").off()
    block = doc.blocks.new("b")
    block.add_circle((0, 0), 1)
    block.add_circle((9, 0), 1, dxfattribs={"layer": "off"})
    m = doc.modelspace()
    m.add_circle((0, 0), 5)
    m.add_circle((20, 0), 5, dxfattribs={"layer": "frozen"})
    m.add_circle((40, 0), 5, dxfattribs={"layer": "off"})
    m.add_circle((60, 0), 5, dxfattribs={"invisible": 1})
    m.add_line((0, 0), (9, 9), dxfattribs={"layer": "Defpoints"})
    m.add_blockref("b", (80, 0), dxfattribs={"layer": "frozen"})
    m.add_blockref("b", (100, 0))
    drawing = read(doc)
    assert sorted((round(o.circle.x, 9), round(o.circle.diameter, 9)) for o in drawing.loops) == [(0, 10), (100, 2)]
    assert told(drawing) == [
        "1 entity marked invisible: passed over",
        "1 entity on layer Defpoints, which is never plotted: passed over",
        "2 entities on layer frozen, which is frozen: passed over",
        "2 entities on layer off, which is off: passed over",
    ]


def test_what_is_no_outline_is_counted():
    doc = document()
    m = doc.modelspace()
    m.add_circle((0, 0), 5)
    m.add_text("plate")
    m.add_text("2 mm")
    m.add_point((1, 1))
    m.add_3dface([(0, 0), (1, 0), (1, 1)])
    m.add_hatch()
    m.add_polyface()
    doc.layouts.get("Layout1").add_circle((0, 0), 100)
    assert told(read(doc)) == [
        "1 3DFACE passed over: no outline",
        "1 HATCH passed over: no outline",
        "1 POINT passed over: no outline",
        "1 POLYLINE that is a mesh passed over: no outline",
        "2 TEXT passed over: no outline",
        "1 in paper space passed over: no outline",
    ]


def test_heights_and_widths_are_told():
    doc = document()
    m = doc.modelspace()
    m.add_circle((0, 0, 3), 5)
    m.add_lwpolyline([(20, 0), (30, 0), (30, 10)], close=True, dxfattribs={"elevation": 2.0, "const_width": 1.0})
    drawing = read(doc)
    assert told(drawing) == [
        "2 outlines drawn at a height other than 0, taken as flat",
        "1 polyline drawn with a width: the center line counts",
    ]
    assert all((o.curve.nodes[:, 2] == 0).all() for o in drawing.loops)


UNITLESS = [
    (1, "the drawing names no unit ($INSUNITS): counted as mm"),
    (0, "the drawing names no unit ($INSUNITS): counted as mm, although $MEASUREMENT says inch"),
]


@pytest.mark.parametrize(("measurement", "remark"), UNITLESS)
def test_a_drawing_without_a_unit_counts_as_mm_and_says_so(measurement, remark):
    doc = document(0)
    doc.header["$MEASUREMENT"] = measurement
    doc.modelspace().add_circle((0, 0), 5)
    drawing = read(doc)
    assert told(drawing) == [remark]
    assert drawing.loops[0].circle.diameter == pytest.approx(10)


def test_fitted_polylines_show_their_curve_not_its_control_points():
    """Vertices with flag 16 are the frame of a fitted curve (DXF reference, VERTEX, group 70)."""
    doc = document(version="R12")
    line = doc.modelspace().add_polyline2d([(0, 0), (10, 0), (10, 10), (0, 10), (500, 500)], close=True)
    line.vertices[4].dxf.flags = 16
    assert Dxf().read(written(doc), "p").loops[0].curve.signed_area == pytest.approx(100)


def test_flaws_that_bear_on_no_outline_are_told(capfd):
    """A table entry of no known kind, and a line type that is missing; the library's own log stays quiet."""
    doc = document()
    doc.modelspace().add_circle((0, 0), 5, dxfattribs={"linetype": "DOTS"})
    data = written(doc).replace(b"  0\nSTYLE\n", b"  0\nSTILE\n", 1)
    drawing = Dxf().read(data, "p")
    assert len(drawing.loops) == 1
    assert any(
        t.startswith("1 flaw in the file that bear on no outline, such as: Removed undefined linetype dots")
        for t in told(drawing)
    )
    assert any(
        t.startswith("the file is not quite in order: Ignored invalid DXF entity type 'STILE'") for t in told(drawing)
    )
    assert capfd.readouterr().err == ""


def broken_block() -> Document:
    doc = document()
    doc.modelspace().add_blockref("nowhere", (0, 0))
    doc.modelspace().add_circle((0, 0), 1)
    return doc


def cycle() -> Document:
    doc = document()
    a, b = doc.blocks.new("a"), doc.blocks.new("b")
    a.add_blockref("b", (0, 0))
    b.add_blockref("a", (0, 0))
    doc.modelspace().add_blockref("a", (0, 0))
    return doc


def bomb() -> Document:
    """Eight levels of ten inserts: a hundred million circles in 4 kB."""
    doc = document()
    doc.blocks.new("b0").add_circle((0, 0), 1)
    for k in range(8):
        block = doc.blocks.new(f"b{k + 1}")
        for i in range(10):
            block.add_blockref(f"b{k}", (i, k))
    doc.modelspace().add_blockref("b8", (0, 0))
    return doc


def tower() -> Document:
    """A block in a block, two hundred times."""
    doc = document()
    doc.blocks.new("b0").add_circle((0, 0), 1)
    for k in range(200):
        doc.blocks.new(f"b{k + 1}").add_blockref(f"b{k}", (1, 0))
    doc.modelspace().add_blockref("b200", (0, 0))
    return doc


def grid() -> Document:
    doc = document()
    doc.blocks.new("b").add_circle((0, 0), 1)
    doc.modelspace().add_blockref(
        "b", (0, 0), dxfattribs={"row_count": 30000, "column_count": 30000, "row_spacing": 1, "column_spacing": 1}
    )
    return doc


def with_entity(add) -> Document:
    doc = document()
    add(doc.modelspace())
    return doc


def external() -> Document:
    doc = document()
    doc.add_xref_def("../other.dxf", "other")
    doc.modelspace().add_blockref("other", (0, 0))
    return doc


def text_with(*tags: str, end: str = "  0\nEOF\n") -> bytes:
    body = "\n".join(tags)
    return f"  0\nSECTION\n  2\nENTITIES\n{body}\n  0\nENDSEC\n{end}".encode()


CIRCLE = "  0\nCIRCLE\n  8\n0\n 10\n0\n 20\n0\n 40\n5"

REFUSED = {
    "empty": (b"", "the file does not end with EOF: it is no DXF file, or part of it is missing"),
    "another kind": (b"%PDF-1.4 EOF", "the file cannot be read as DXF: "),
    "cut off": (text_with(CIRCLE, end=""), "the file does not end with EOF: it is no DXF file, or part of it is missing"),
    "bad number": (text_with(CIRCLE.replace("40\n5", "40\nfive")), "the file cannot be read as DXF: "),
    "nothing": (b"  0\nEOF\n", "found no outline, allowed: at least one closed outline"),
    "DWG": (b"AC1032" + bytes(100), "found a DWG file, allowed: DXF; save it as DXF"),
    "unit": (lambda: _unit(20), "$INSUNITS: found 20, allowed: 0, 1, 2, 4, 5, 6, 8, 9, 10, 13, 14"),
    "block": (broken_block, "the file is damaged: "),
    "cycle of blocks": (cycle, "the file is damaged: "),
    "bomb of blocks": (bomb, "more than 50000 entities, its blocks counted as often as inserted"),
    "tower of blocks": (tower, "or blocks inside blocks more than 32 deep"),
    "grid without end": (grid, "more than 50000 entities, its blocks counted as often as inserted"),
    "another file": (external, "is another file, which is not read: bind it into the drawing"),
    "tilted circle": (lambda: with_entity(lambda m: m.add_circle((0, 0), 5, dxfattribs={"extrusion": (0, 1, 1)})), "CIRCLE (handle 2F): it does not lie flat in the plane of the drawing"),
    "tilted line": (lambda: with_entity(lambda m: m.add_line((0, 0, 0), (5, 5, 1))), "LINE (handle 2F): it does not lie flat in the plane of the drawing"),
    "tilted bulge": (lambda: with_entity(lambda m: m.add_lwpolyline([(0, 0, 0.5), (5, 5, 0)], format="xyb", close=True, dxfattribs={"extrusion": (0, 1, 1)})), "LWPOLYLINE (handle 2F): it does not lie flat"),
    "no radius": (lambda: with_entity(lambda m: m.add_circle((0, 0), 0)), "CIRCLE (handle 2F): it makes no curve: found radius 0, allowed: above 0"),
    "not a number": (lambda: with_entity(lambda m: m.add_circle((math.nan, 0), 5)), "a coordinate is not a finite number"),
    "a huge ellipse": (lambda: with_entity(lambda m: m.add_ellipse((0, 0), (1e9, 0), 0.5)), "ELLIPSE (handle 2F): it makes no curve: a curve would need more than 100000 chords"),
    "open": (lambda: with_entity(lambda m: m.add_line((0, 0), (5, 5))), "an outline is not closed: open end at 0, 0, the nearest other open end lies 7.071 mm away at 5, 5; allowed: 0.1 mm; a center line or the like: take it out of the drawing"),
    "a line without an end": (text_with("  0\nLINE\n  8\n0\n 10\n0\n 20\n0"), "): it has no end"),
}  # fmt: skip


def _unit(code: int) -> Document:
    doc = document(code)
    doc.modelspace().add_circle((0, 0), 5)
    return doc


@pytest.mark.parametrize(("data", "message"), REFUSED.values(), ids=REFUSED)
def test_what_is_refused(data, message):
    assert any(message in m for m in refused(data() if callable(data) else data))


def test_all_faults_are_told_at_once():
    doc = document()
    m = doc.modelspace()
    m.add_circle((0, 0), 0)
    m.add_line((0, 0, 0), (5, 5, 1))
    assert len(refused(doc)) == 2


@given(st.binary(max_size=400), st.integers(0, 3))
@settings(max_examples=150, deadline=None)
@example(b"AutoCAD Binary DXF\r\n\x1a\x00", 0)
def test_garbage_is_refused_in_plain_words(noise, where):
    """All 150 cases reach the assertion: noise alone, before the end mark, inside a good text file, inside a good binary one."""
    good = GOOD[where == 3]
    data = {0: noise, 1: noise + b"  0\nEOF\n"}.get(
        where, good[: len(good) // 2] + noise + good[len(good) // 2 + len(noise) :]
    )
    faults: tuple[Fault, ...] = ()
    try:
        Dxf().read(data, "noise.dxf")
    except InputError as e:
        faults = e.faults
    assert all(f.path == "noise.dxf" and f.message for f in faults)


GOOD = [written(_unit(4)), written(_unit(4), binary=True)]


def squares(count: int) -> bytes:
    """A drawing of squares, four lines each."""
    doc = document()
    m = doc.modelspace()
    for k in range(count):
        x, y = 3 * (k % 40), 3 * (k // 40)
        for a, b in (((0, 0), (2, 0)), ((2, 0), (2, 2)), ((2, 2), (0, 2)), ((0, 2), (0, 0))):
            m.add_line((x + a[0], y + a[1]), (x + b[0], y + b[1]))
    return written(doc)


def test_time_grows_as_the_drawing_does():
    """5,000 lines against 1,250: four times the work, not sixteen times. Best of three each, so that other work does not count."""
    best = {}
    for count in (312, 1250):
        data, took = squares(count), []
        for _ in range(3):
            start = time.process_time()
            assert len(Dxf().read(data, "p").loops) == count
            took.append(time.process_time() - start)
        best[count] = min(took)
    assert best[1250] < 9 * best[312]
