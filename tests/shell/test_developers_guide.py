"""The samples in DEVELOPERS.md do what it says: each is saved as a plugin file and used from the shell."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from kerfwright.shell import run

GUIDE = (Path(__file__).parents[2] / "DEVELOPERS.md").read_text()
SAMPLES = re.findall(r"```python\n(.*?)```", GUIDE, re.DOTALL)

JOB = """\
job: tag
machine: light-router
sheet: {material: gfrp, size: [60, 60], thickness: 2, breakthrough: 0.3, board: 12, hold: tape}
cutters:
  mill: {form: end_mill, flutes: burr, diameter: 2, teeth: 6, flute_length: 8}
parts:
  - {name: tag, at: [15, 15], shapes: [{rectangle: {corner: [0, 0], size: [30, 20], radius: 3}}]}
operations:
  - profile: {cutter: mill, select: outer}
"""


def sample(word: str, tmp_path: Path) -> Path:
    (text,) = [s for s in SAMPLES if f"class {word}(" in s]
    path = tmp_path / f"{word.lower()}.py"
    path.write_text(text)
    return path


def test_the_strategy(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = tmp_path / "tag.yaml"
    job.write_text(JOB.replace("select: outer}", "select: outer, axial_depth: 1.5, passes: {thirds: {least: 0.5}}}"))
    assert run(["make", str(job), "--out", str(tmp_path), "--plugin", str(sample("Thirds", tmp_path))]) == 0
    # 2.3 mm deep: a third of what is left at a time: 0.767, 0.511, 0.341, 0.227 leave 0.454, which is the last pass
    text = (tmp_path / "tag" / "tag-1-mill.nc").read_text()
    for z in ("Z-0.767", "Z-1.278", "Z-1.619", "Z-1.846", "Z-2.300"):
        assert z in text
    assert run(["list", "strategies", "--plugin", str(sample("Thirds", tmp_path))]) == 0
    assert "passes thirds" in capsys.readouterr().out


def test_the_operation(tmp_path: Path) -> None:
    """Made, proved, and where the cone of 90 degrees goes: its tip 0.3 mm deep at the center of the circle, (40, 35)."""
    job = tmp_path / "tag.yaml"
    vee = "\n  vee: {form: chamfer_mill, point_angle: 90, diameter: 3, flute_length: 4}\nparts:"
    prick = "prick: {cutter: vee, select: {circles: 4}, spindle: 18000, feed: 300, plunge_feed: 100, axial_depth: 1}"
    text = JOB.replace("\nparts:", vee).replace(
        "radius: 3}}]", "radius: 3}}, {circle: {center: [25, 20], diameter: 4}}]"
    )
    text = text.replace("size: [30, 20]", "size: [50, 40]").replace("operations:\n", f"operations:\n  - {prick}\n")
    job.write_text(text.replace("size: [60, 60]", "size: [80, 80]"))
    plugin = sample("Prick", tmp_path)
    assert run(["make", str(job), "--out", str(tmp_path), "--plugin", str(plugin)]) == 0
    assert "X40.000 Y35.000\nZ2.000\nG1 Z-0.300 F100\nG0 Z8.000\n" in (tmp_path / "tag" / "tag-1-vee.nc").read_text()
    # a taking that knows of another depth: the same program is not released
    plugin.write_text(
        plugin.read_text().replace("return [0.0, operation.depth]", "return [0.0, operation.depth - 0.05]")
    )
    assert run(["make", str(job), "--out", str(tmp_path), "--plugin", str(plugin)]) == 1
    # and with no taking nothing is known of it
    plugin.write_text(plugin.read_text().replace("return [PrickTaking]", "return []"))
    assert run(["make", str(job), "--out", str(tmp_path), "--plugin", str(plugin)]) == 1


def test_the_dialect(tmp_path: Path) -> None:
    job = tmp_path / "tag.yaml"
    job.write_text(JOB)
    plugin = sample("Workshop", tmp_path)
    assert run(["make", str(job), "--out", str(tmp_path), "--plugin", str(plugin), "--dialect", "workshop"]) == 0
    assert (tmp_path / "tag" / "tag-1-mill.nc").read_text().endswith("M5\nG4 P10.000\nM30\n")


def test_the_readme_python_sample(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    readme = Path(__file__).parents[2] / "README.md"
    (text,) = re.findall(r"```python\n(.*?)```", readme.read_text(), re.DOTALL)
    monkeypatch.chdir(readme.parent)
    code = text.replace('"out"', repr(str(tmp_path)))
    assert code != text
    exec(compile(code, "README.md", "exec"), {})
    assert (tmp_path / "mast-clamp" / "result.json").is_file()


def test_the_readme_job(tmp_path: Path) -> None:
    readme = Path(__file__).parents[2] / "README.md"
    text, _ = re.findall(r"```yaml\n(.*?)```", readme.read_text(), re.DOTALL)
    job = tmp_path / "clamp.yaml"
    job.write_text(text)
    drawing = readme.parent / "examples" / "mast-clamp" / "mast-clamp.dxf"
    (tmp_path / "mast-clamp.dxf").write_bytes(drawing.read_bytes())
    assert run(["make", str(job), "--out", str(tmp_path)]) == 0


def test_the_tree_names_every_module_and_package_of_the_kernel() -> None:
    tree = GUIDE[GUIDE.index("## The tree") : GUIDE.index("## Read in this order")]
    kernel = Path(__file__).parents[2] / "kernel" / "kerfwright"
    there = [p for p in kernel.iterdir() if not p.name.startswith("_") and p.suffix in ("", ".py")]
    assert len(there) > 60
    assert [p.name for p in there if (p.name if p.suffix else f"{p.name}/") not in tree] == []
