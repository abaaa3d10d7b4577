"""Files that are no job at all: broken, hostile or odd YAML ends in a fault with its place, never in anything else."""

from __future__ import annotations

import time

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kerfwright.errors import InputError
from kerfwright.job import Job
from kerfwright.jobfile import load_job
from kerfwright.operation import Drill, Pocket, Profile
from kerfwright.registry import Registry
from kerfwright_plugins.tables import kerfwright_tables

REGISTRY = Registry(operations={o.kind: o for o in (Profile, Pocket, Drill)}, tables=kerfwright_tables())
TOP = "job, machine, sheet, planes, cutters, parts, operations, ignore, output, pace, tolerance, quote, units"

FILES: list[tuple[bytes, list[str]]] = [
    (b"", [f"j:1:1: found nothing, allowed: a mapping of {TOP}"]),
    (b"# only a comment\n", [f"j:1:1: found nothing, allowed: a mapping of {TOP}"]),
    (b"- a\n- b\n", [f"j:1:1: found a list of 2, allowed: a mapping of {TOP}"]),
    (b"just words", [f"j:1:1: found 'just words', allowed: a mapping of {TOP}"]),
    (b"job: \xff", ["j:1:6: found the byte 0xff, allowed: text in UTF-8"]),
    (b"job: a\nunits: \xc3(", ["j:2:8: found the byte 0xc3, allowed: text in UTF-8"]),
    ("job: ü".encode("utf-16"), ["j:1:1: found the byte 0xff, allowed: text in UTF-8"]),
    (b"job: a\x00b", ["j:1:7: found the character U+0000, allowed: printable text"]),
    (b"job: a\nunits: \x07", ["j:2:8: found the character U+0007, allowed: printable text"]),
    (b"job: a\n\tunits: mm", ["j:2:1: no YAML: while scanning for the next token, found character '\\t' that cannot start any token"]),
    (b"job: a\n  units: mm", ["j:2:8: no YAML: mapping values are not allowed here"]),
    (b"job: [a, b", ["j:1:11: no YAML: while parsing a flow sequence, expected ',' or ']', but got '<stream end>'"]),
    (b"job: {a: b", ["j:1:11: no YAML: while parsing a flow mapping, expected ',' or '}', but got '<stream end>'"]),
    (b"job: 'a", ["j:1:8: no YAML: while scanning a quoted scalar, found unexpected end of stream"]),
    (b'job: "\\q"', ["j:1:8: no YAML: while scanning a double-quoted scalar, found unknown escape character 'q'"]),
    (b"%YAML 3.0\n---\njob: a", ["j:1:1: no YAML: found incompatible YAML document (version 1.* is required)"]),
    (b'job: a\nunits: "\\UFFFFFFFF"', ["j:2:1: no YAML: after this place stands an escape or a number out of range"]),
    (b'job: "\\U00110000"', ["j:1:1: no YAML: after this place stands an escape or a number out of range"]),
    (b"%YAML " + b"1" * 5000 + b".0\n---\n", ["j:1:1: no YAML: after this place stands an escape or a number out of range"]),
    (b"job: *a", ["j:1:6: job: found the alias *a, allowed: the value itself, written out"]),
    (b"[" * 40, ["j:1:33: " + "[0]" * 32 + ": found values nested 33 deep, allowed: at most 32"]),
    (b"{a: " * 40, ["j:1:126: " + ".".join(["a"] * 31) + ": found values nested 33 deep, allowed: at most 32"]),
    (b"[" * 500_000, ["j:1:33: " + "[0]" * 32 + ": found values nested 33 deep, allowed: at most 32"]),
    (b"a" * 1_000_001, ["j: found 1000001 bytes, allowed: at most 1000000"]),
    (b"job: a\n---\njob: b\n", ["j:2:1: found a second document, allowed: one"]),
]  # fmt: skip


def told(data: bytes, tmp_path) -> list[str]:
    (tmp_path / "j.yaml").write_bytes(data)
    with pytest.raises(InputError) as e:
        load_job(tmp_path / "j.yaml", REGISTRY, name="j")
    return [str(f) for f in e.value.faults]


@pytest.mark.parametrize(("data", "messages"), FILES, ids=[repr(d[:20]) for d, _ in FILES])
def test_what_is_no_job_is_told_with_its_place(data, messages, tmp_path):
    found = told(data, tmp_path)
    left_out = ("found nothing, allowed", "found no parts, allowed")
    assert [m for m in found if m in messages or not any(v in m for v in left_out)] == messages


def test_aliases_of_aliases_stay_small(tmp_path):
    """Ten lines that would be ten thousand million values: told at once, each alias where it stands."""
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{k}: &a{k} [{', '.join([f'*a{k - 1}'] * 10)}]" for k in range(1, 10)]
    began = time.perf_counter()
    found = told("\n".join(lines).encode(), tmp_path)
    assert time.perf_counter() - began < 2
    assert sum("found the alias *a" in m for m in found) == 90
    assert "j:2:10: a1[0]: found the alias *a0, allowed: the value itself, written out" in found


def test_many_values_are_bounded(tmp_path):
    assert told(b"a: [" + b"1," * 60_000 + b"]", tmp_path) == [
        "j:1:99999: found 50001 values, allowed: at most 50000",
    ]


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(InputError, match=r"none\.yaml: cannot be read: No such file or directory"):
        load_job(tmp_path / "none.yaml", REGISTRY)
    with pytest.raises(InputError, match="cannot be read: Is a directory"):
        load_job(tmp_path, REGISTRY)
    with pytest.raises(InputError, match="cannot be read: embedded null byte"):
        load_job("a\0b", REGISTRY)
    with pytest.raises(InputError, match="cannot be read: File name too long"):
        load_job("a" * 5000, REGISTRY)


@pytest.mark.parametrize(("text", "byte"), [("job: \udcff", "ff"), ("job: \ud800", "ed")])
def test_a_text_with_half_characters(text, byte):
    with pytest.raises(InputError, match=f"^-:1:6: found the byte 0x{byte}, allowed: text in UTF-8$"):
        load_job("-", REGISTRY, text=text)


JOB = """\
job: gauge
units: mm
machine: light-router
sheet: {material: cfrp, size: [300, 200], thickness: 2, breakthrough: 0.4, board: 12, keepout: []}
planes: {travel: 8, approach: 2}
cutters: {mill: {base: burr-2, number: 3}}
parts: [{name: plate, shapes: [{circle: {center: [20, 20], diameter: 30}}, {path: M 0 0}], at: [[1, 2]], turn: 0}]
operations: [{profile: {cutter: mill, select: [outer, {circles: 3, layer: a}], depth: through, bridges: {width: 1}}}]
tolerance: 0.1
"""

KEYS = st.sampled_from(
    ["job", "units", "machine", "sheet", "material", "size", "thickness", "zero", "x", "keepout", "circle", "height", "base",
     "planes", "travel", "cutters", "mill", "form", "diameter", "parts", "name", "shapes", "path", "polygon", "wkt", "drawing",
     "at", "layout", "operations", "profile", "pocket", "drill", "cutter", "select", "circles", "within", "part", "depth",
     "from", "entry", "bridges", "ignore", "output", "dialect", "tolerance", "quote", "pace", "grain", "turns", "rates"]
)  # fmt: skip
SCALARS = st.one_of(
    st.sampled_from(
        ["mm", "inch", "through", "outer", "3 in", "1/8 in", "1/0", "-1", ".nan", ".inf", "1e999", "0x10", "1_0", "true", "~",
         "", "'2'", "cfrp", "mill", "light-router", "burr-2", "../x", "/", "a\\0b", "M 0 0 L 1 1", "POLYGON", "9" * 300,
         '"\\uD800"', '"\\0"', "*a", "&a x", "!!map x", "2024-01-01", "1:30", "!x", "<<", "=", "?", "|"]
    ),
    st.text(max_size=12),
    st.integers().map(str),
    st.floats().map(str),
)  # fmt: skip
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3).map(lambda v: "[" + ", ".join(v) + "]"),
        st.lists(st.tuples(KEYS, inner), max_size=3).map(lambda v: "{" + ", ".join(f"{k}: {x}" for k, x in v) + "}"),
    ),
    max_leaves=8,
)
QUICK = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True)


def outcome(text: str) -> str:
    """What became of a text: the job, or faults that can all be printed."""
    try:
        job = load_job("nowhere/job.yaml", REGISTRY, text=text)
    except InputError as e:
        faults = e.faults
    else:
        assert isinstance(job, Job)
        return "job"
    assert faults
    for one in faults:
        assert str(one).encode()  # no half characters: it can be shown
        assert one.file == "nowhere/job.yaml"
        assert "\n" not in one.message
    return "faults"


def test_a_mutilated_job_is_read_or_told():
    """Pieces of a job replaced by anything: 150 cases, all reach the assertion."""
    cases = []

    @QUICK
    @given(st.integers(0, len(JOB) - 1), st.integers(0, 40), VALUES)
    def one(at: int, length: int, value: str) -> None:
        cases.append(outcome(JOB[:at] + value + JOB[at + length :]))

    one()
    assert len(cases) >= 150
    assert cases.count("faults") > 60


def test_any_value_at_any_key_is_read_or_told():
    """A well-formed job with one value exchanged: 150 cases, all reach the assertion."""
    cases = []
    marks = [k for k, c in enumerate(JOB) if c == ":"]

    @QUICK
    @given(st.sampled_from(marks), VALUES)
    def one(at: int, value: str) -> None:
        end = min((e for e in (JOB.find(c, at) for c in ",}\n") if e > 0), default=len(JOB))
        cases.append(outcome(f"{JOB[:at]}: {value}{JOB[end:]}"))

    one()
    assert len(cases) >= 150
    assert cases.count("faults") > 60


def test_garbage_is_told():
    """Any text at all: 150 cases, all reach the assertion."""
    cases = []

    @QUICK
    @given(st.text(max_size=60))
    def one(text: str) -> None:
        cases.append(outcome(text))

    one()
    assert len(cases) >= 150
    assert set(cases) == {"faults"}


def test_any_bytes_are_told(tmp_path):
    """Any bytes at all: 150 cases, all reach the assertion."""
    cases = []
    file = tmp_path / "job.yaml"

    @QUICK
    @given(st.binary(max_size=60))
    def one(data: bytes) -> None:
        file.write_bytes(data)
        with pytest.raises(InputError):
            load_job(file, REGISTRY)
        cases.append(data)

    one()
    assert len(cases) >= 150
