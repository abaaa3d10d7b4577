"""Dialects varied by data: in a job, in a machine, in a file of the user's own; what is refused stands in a table by hand."""

from __future__ import annotations

import inspect
import pickle
import sys
from pathlib import Path

import attrs
import pytest

import kerfwright as kw
from kerfwright.errors import Contradiction, InputError
from kerfwright.registry import Registry
from kerfwright_dialects.nist6556 import Nist6556
from kerfwright_dialects.nist6556_core import Nist6556Core

REGISTRY = Registry.load()
TAG = """\
job: tag
machine: {base: light-router, dialect: nist6556-core}
sheet: {material: gfrp, size: [60, 44], thickness: 1.5, breakthrough: 0.3, board: 9, hold: tape}
cutters:
  drill: {form: drill, diameter: 2.5, point_angle: 118, flute_length: 15}
  mill: {form: end_mill, flutes: burr, diameter: 2, teeth: 6, flute_length: 8}
parts:
  - name: tag
    at: [15, 12]
    shapes:
      - rectangle: {corner: [0, 0], size: [30, 20], radius: 3}
      - circle: {center: [6, 6], diameter: 2.5}
      - circle: {center: [24, 14], diameter: 2.5}
operations:
  - drill: {cutter: drill, select: {circles: 2.5}}
  - profile: {cutter: mill, select: outer}
"""
LINE = TAG.count("\n") + 1


def load(said, tmp_path, text=TAG):
    """The job with this `output`, from a file in `tmp_path`."""
    file = tmp_path / "tag.yaml"
    file.write_text(text + (f"output: {said}\n" if said else ""), encoding="utf-8")
    return kw.load_job(file, REGISTRY)


EVERY = """\
{base: nist6556, units: inch, program: {start: "%", end: M30, name: false},
 block: {sequence: true, length: 128, ending: crlf, comments: parentheses},
 word: {decimals: 5, feed_decimals: 1, centers: radius, helices: false, arcs: true, dwell_unit: ms, cycles: false},
 run: {work_offset: 6, cutter_change: pause, by_hand: true}}"""


def test_every_key(tmp_path):
    """Each one comes to the field of its name; the reader's traits are those."""
    d = load(EVERY, tmp_path).dialect
    assert isinstance(d, Nist6556)
    assert d.varied == {
        "units": "inch", "program.start": "%", "program.end": "M30", "program.name": False, "block.sequence": True,
        "block.length": 128, "block.ending": "crlf", "word.decimals": 5, "word.feed_decimals": 1, "word.centers": "radius",
        "word.helices": False, "word.dwell_unit": "ms", "word.cycles": False, "run.work_offset": 6, "run.cutter_change": "pause",
        "run.by_hand": True,
    }  # fmt: skip
    t = d.traits
    assert (t.units, t.decimals, t.arc_centers, t.helices, t.dwell_unit, t.cycles) == (
        "inch",
        5,
        "radius",
        False,
        "ms",
        False,
    )
    assert (t.block_length, t.sequence, t.start, t.end, t.work_offset) == (128, True, "%", "M30", 6)
    assert (t.cutter_change, t.comments, t.language) == ("pause", "parentheses", "rs274ngc")


@pytest.mark.parametrize("said", ["nist6556", "{dialect: nist6556}", "{base: nist6556}"])
def test_a_name_alone_is_the_dialect_as_it_stands(said, tmp_path):
    """Kept as a name, so that nothing says that it was varied."""
    assert load(said, tmp_path).dialect == "nist6556"


@pytest.mark.parametrize("said", ["mine.yaml", "shop/mine.yml"])
def test_a_file_of_the_users_own(said, tmp_path):
    """The same mapping, in a file inside the job's folder."""
    (tmp_path / "shop").mkdir()
    (tmp_path / said).write_text("base: nist6556\nword: {decimals: 4}\nrun: {work_offset: 2}\n")
    assert load(said, tmp_path).dialect == Nist6556(decimals=4, work_offset=2)


def test_a_machines_dialect(tmp_path):
    """Its entry carries the same mapping; the job's own goes before it as a whole."""
    text = TAG.replace("dialect: nist6556-core", "dialect: {base: nist6556-core, units: inch}")
    assert load("", tmp_path, text).machine.dialect == Nist6556Core(units="inch")
    assert all("G20" in p.text for p in kw.make(load("", tmp_path, text), REGISTRY).programs)
    assert all("G21" in p.text for p in kw.make(load("nist6556", tmp_path, text), REGISTRY).programs)


B = "{base: nist6556, "
REFUSED = [
    (B + "units: »cm}", "units: found 'cm', allowed: one of mm, inch"),
    (B + "»unit: mm}", "unit: found an unknown key, allowed: dialect, base, run, units, program, block, word, did you mean units?"),
    (B + "word: {decimals: »2}}", "word.decimals: found 2, allowed: a whole number at least 3 and at most 6"),
    (B + "word: {decimals: »3.5}}", "word.decimals: found 3.5, allowed: a whole number at least 3 and at most 6"),
    (B + "units: inch, word: {decimals: »3}}", "word.decimals: found 3 with units inch, allowed: at least 4, as 0.001 inch is 0.025 mm"),
    (B + "word: {feed_decimals: »4}}", "word.feed_decimals: found 4, allowed: a whole number at least 0 and at most 3"),
    (B + "word: {centers: »absolute}}", "word.centers: found 'absolute', allowed: one of incremental, radius"),
    (B + "word: {quadrants: »single}}", "word.quadrants: found 'single', allowed: leave it out, as nist6556 has no other than multi"),
    (B + "word: {dwell_word: »X}}", "word.dwell_word: found 'X', allowed: leave it out, as nist6556 has no other than P"),
    (B + "word: {dwell_unit: »min}}", "word.dwell_unit: found 'min', allowed: one of s, ms"),
    (B + "word: {helices: »1}}", "word.helices: found 1, allowed: true or false"),
    (B + "word: {arcs: false, centers: »radius}}", "word.centers: found radius with arcs false, allowed: leave it out, as there are no arcs"),
    (B + "word:» }", "word: found nothing, allowed: a mapping of decimals, feed_decimals, centers, quadrants, helices, arcs, dwell_unit, dwell_word, cycles"),
    (B + "block: {»lenght: 200}}", "block.lenght: found an unknown key, allowed: sequence, length, ending, comments, did you mean length?"),
    (B + "block: {length: »127}}", "block.length: found 127, allowed: a whole number at least 128 and at most 1000"),
    (B + "block: {ending: »cr}}", "block.ending: found 'cr', allowed: one of lf, crlf, did you mean crlf?"),
    (B + "block: {sequence: »10}}", "block.sequence: found 10, allowed: true or false"),
    (B + "program: {end: »M99}}", "program.end: found 'M99', allowed: one of M2, M30"),
    (B + "program: {start: »O1}}", "program.start: found 'O1', allowed: one of \"\", %"),
    (B + "program: {name: »true}, block: {comments: none}}", "program.name: found true with comments none, allowed: false, as the name stands in a comment"),
    (B + "run: {by_hand: »true}, block: {comments: none}}", "run.by_hand: found true with comments none, allowed: false, as no stop could say the speed to set"),
    (B + "run: {cutter_change: »pause}, block: {comments: none}}", "run.cutter_change: found pause with comments none, allowed: separate_programs, as no stop could say which cutter"),
    (B + "run: {cutter_change: »robot}}", "run.cutter_change: found 'robot', allowed: one of automatic, pause, separate_programs"),
    (B + "run: {work_offset: »7}}", "run.work_offset: found 7, allowed: a whole number at least 1 and at most 6"),
    ("{base: nist6556-core, word: {cycles: »true}}", "word.cycles: found true, allowed: leave it out, as nist6556-core has no other than false"),
    ("{base: nist6556-core, run: {cutter_change: »pause}}", "run.cutter_change: found 'pause', allowed: leave it out, as nist6556-core has no other"),
    ("{base: nist6556-lines, word: {arcs: »true}}", "word.arcs: found true, allowed: leave it out, as nist6556-lines has no other than false"),
    ("»/etc/mine.yaml", "found '/etc/mine.yaml', allowed: a file inside the job's folder, folders separated by /"),
    ("»../mine.yaml", "found '../mine.yaml', allowed: a file inside the job's folder, folders separated by /"),
    ("»mine.yaml", "found no file 'mine.yaml', allowed: a file inside the job's folder, folders separated by /"),
]  # fmt: skip


@pytest.mark.parametrize(("said", "message"), REFUSED, ids=[message[:60] for _, message in REFUSED])
def test_refused_with_its_place(said, message, tmp_path):
    """File, line and column (where » stands), key, what was found and is allowed."""
    column = f"output: {said}".index("»") + 1
    with pytest.raises(InputError) as e:
        load(said.replace("»", ""), tmp_path)
    key = "output." + message if ": " in message.split(",")[0] else f"output: {message}"
    assert [str(f) for f in e.value.faults] == [f"{tmp_path / 'tag.yaml'}:{LINE}:{column}: {key}"]


def test_a_fault_in_the_machines_dialect(tmp_path):
    """At its place in the machine."""
    column = "machine: {base: light-router, dialect: {base: nist6556, word: {decimals: 2".index("2", 60) + 1
    with pytest.raises(InputError) as e:
        load("", tmp_path, TAG.replace("dialect: nist6556-core", "dialect: {base: nist6556, word: {decimals: 2}}"))
    (fault,) = e.value.faults
    assert (fault.path, fault.line, fault.column) == ("machine.dialect.word.decimals", 2, column)


def test_a_fault_in_the_users_own_file_names_that_file(tmp_path):
    """Both are told, each with its line there."""
    (tmp_path / "mine.yaml").write_text("base: nist6556\nword:\n  decimals: 9\n  centers: left\n")
    with pytest.raises(InputError) as e:
        load("mine.yaml", tmp_path)
    assert [str(f) for f in e.value.faults] == [
        "mine.yaml:3:13: word.decimals: found 9, allowed: a whole number at least 3 and at most 6",
        "mine.yaml:4:12: word.centers: found 'left', allowed: one of incremental, radius",
    ]


def test_contradictions_are_told_all_at_once():
    """In Python too, and before anything is written."""
    with pytest.raises(Contradiction) as e:
        Nist6556(units="inch", decimals=3, comments="none", titled=True, cutter_change="automatic")
    assert [key for key, _ in e.value.told] == ["word.decimals", "program.name", "run.cutter_change"]


@pytest.mark.parametrize(
    ("machine", "message"),
    [
        ({"home": False}, "what to see to on a machine without reference switches"),
        ({"spindle": {"by_hand": True}}, "the speed that is set by hand"),
        ({"cutter_change": "pause"}, "as no stop could say which cutter"),
    ],
)
def test_a_machine_whose_stops_must_speak(machine, message, tmp_path):
    """Comments none contradicts what the machine needs: refused before anything is planned."""
    job = load("{base: nist6556, block: {comments: none}}", tmp_path)
    spindle = attrs.evolve(job.machine.spindle, **machine.pop("spindle", {}))
    job = attrs.evolve(job, machine=attrs.evolve(job.machine, spindle=spindle, **machine))
    with pytest.raises(InputError, match=message):
        kw.make(job, REGISTRY)


def test_what_was_varied_is_told(tmp_path):
    """In result.json, by the keys of the job."""
    import json

    result = kw.make(load("{base: nist6556, units: inch, run: {work_offset: 3}}", tmp_path), REGISTRY)
    assert result.ok
    out = result.save(tmp_path / "out", REGISTRY)
    programs = json.loads((out / "result.json").read_text())["programs"]
    assert [p["varied"] for p in programs] == [{"units": "inch", "run.work_offset": 3}] * 3
    assert "nist6556 (varied: units inch, run.work_offset 3) means" in (out / "run-sheet.html").read_text()


def test_a_language_that_nothing_reads_is_refused(tmp_path):
    """What cannot be read back cannot be proved: a sentence, and no internal fault."""
    registry = Registry.load()
    registry.readers.clear()
    with pytest.raises(InputError, match="'nist6556-core', whose language 'rs274ngc' no installed reader reads"):
        kw.make(load("", tmp_path), registry)


WORD_ADDRESS = ["eia274", "iso6983", "nist6556", "nist6556-core", "nist6556-lines"]


@pytest.mark.parametrize("name", WORD_ADDRESS)
def test_a_dialect_is_small_and_says_where_its_rules_come_from(name):
    """One file of at most 100 lines; each rule has a source; the file says what is used, or left out, and what is refused."""
    cls = REGISTRY.dialects[name]
    file = Path(sys.modules[cls.__module__].__file__)
    assert len(file.read_text().splitlines()) <= 100
    assert len(cls.rules) >= 8
    assert all(rule and ("from memory" in source or "our own" in source) for rule, source in cls.rules)
    assert cls.document
    about = sys.modules[cls.__module__].__doc__
    assert any(word in about for word in ("Used of it", "Left out", "without arcs"))


def test_a_varied_job_goes_to_other_processes(tmp_path):
    """A dialect is a plain value: it is pickled with the job, and equal afterwards."""
    job = load(EVERY, tmp_path)
    assert pickle.loads(pickle.dumps(job)).dialect == job.dialect
    told = Contradiction([("word.decimals", "found 3")])
    assert pickle.loads(pickle.dumps(told)).told == told.told


def test_the_readmes_file_is_one_that_works(tmp_path):
    """The mapping it shows, as a file of the user's own: made and proved, every key of it in force."""
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    (shown,) = (block.split("```")[0] for block in readme.split("```yaml\n")[1:] if block.startswith("base:"))
    (tmp_path / "my-router.yaml").write_text(shown, encoding="utf-8")
    job = load("my-router.yaml", tmp_path)
    assert len(job.dialect.varied) == 16
    result = kw.make(job, REGISTRY)
    assert result.ok
    assert all(p.text.startswith("%\r\nN10 G20\r\n") and p.text.endswith("M30\r\n%\r\n") for p in result.programs)


def test_no_dialect_is_long():
    """What they have in common stands in the kernel: 100 lines a dialect at most, its document and rules among them."""
    for cls in REGISTRY.dialects.values():
        assert len(Path(inspect.getfile(cls)).read_text().splitlines()) <= 100, cls.name
