"""`make --ledger`: what is told, what is written, and when nothing is."""

from __future__ import annotations

import json

import pytest
import yaml

from kerfwright.shell import run

JOB = """\
job: tag
machine: light-router
sheet: {material: gfrp, size: [80, 60], thickness: 2, breakthrough: 0.4, board: 12, hold: tape}
cutters:
  mill: {base: burr-2, life: 0.2}
parts:
  - {name: tag, at: [15, 15], shapes: [{rectangle: {corner: [0, 0], size: [30, 30]}}]}
operations:
  - profile: {cutter: mill, select: outer, entry: toolaxis, lead: none}
"""


@pytest.fixture
def job(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    file = tmp_path / "tag.yaml"
    file.write_text(JOB)
    return file


def test_a_shop_s_day(job, capsys):
    """Three times the same tag: the first booked, the second on worn flute, the third on fresh flute."""
    make = ["make", "tag.yaml", "--ledger", "shop.yaml"]
    assert run([*make, "--book"]) == 0
    out = capsys.readouterr().out
    assert "booked in shop.yaml" in out
    assert "64% of its life of 0.2 m  0.07 m left" in out
    kept = job.with_name("shop.yaml").read_bytes()
    assert run(make) == 0  # asked, not booked
    told = capsys.readouterr()
    assert "129% of its life of 0.2 m  change the cutter before these programs" in told.out
    assert "note life: cutter 'mill' does not last: 0.06 m more than its life of 0.2 m" in told.err
    assert job.with_name("shop.yaml").read_bytes() == kept
    (cutter,) = json.loads((job.parent / "out/tag/result.json").read_text())["cutters"]
    assert cutter["life_used"] == pytest.approx(1.2868, abs=1e-4)
    assert cutter["left_m"] == pytest.approx(-0.057, abs=1e-3)
    assert cutter["total_m"] == pytest.approx(0.257, abs=1e-3)
    page = (job.parent / "out/tag/run-sheet.html").read_text()
    assert "<td class=n>129%</td><td>change the cutter before these programs</td>" in page
    assert run([*make, "--fresh-flute", "--book"]) == 0
    told = capsys.readouterr()
    assert "65% of its life" in told.out
    assert "breakthrough 2.4 mm instead of 0.4 mm" in told.err
    shop = yaml.safe_load(job.with_name("shop.yaml").read_text())
    assert [(f["from"], f["to"]) for f in shop["cutters"][0]["flute"]] == [(0.4, 2.4), (2.4, 4.4)]
    assert [b["times"] for b in shop["booked"]] == [1, 1]


def test_the_same_job_and_ledger_give_the_same_bytes(job):
    assert run(["make", "tag.yaml", "--ledger", "shop.yaml", "--book"]) == 0
    kept = job.with_name("shop.yaml").read_bytes()
    runs = []
    for _ in range(2):
        assert run(["make", "tag.yaml", "--ledger", "shop.yaml"]) == 0
        runs.append({p.name: p.read_bytes() for p in (job.parent / "out/tag").iterdir()})
    assert runs[0] == runs[1]
    job.with_name("shop.yaml").unlink()
    assert run(["make", "tag.yaml", "--ledger", "shop.yaml", "--book"]) == 0
    assert job.with_name("shop.yaml").read_bytes() == kept


def test_two_jobs_of_one_call_follow_each_other(job, capsys):
    job.with_name("second.yaml").write_text(JOB.replace("job: tag", "job: second"))
    assert run(["make", "tag.yaml", "second.yaml", "--ledger", "shop.yaml", "--book"]) == 0
    out = capsys.readouterr().out
    assert ["64%" in out, "129%" in out] == [True, True]


REFUSED = [
    (["--ledger", "gone.yaml"], 2, "--ledger: found no file 'gone.yaml', allowed: a ledger; --book begins a new one"),
    (["--book"], 2, "--book: found no ledger, allowed: with --ledger FILE"),
    (["--fresh-flute"], 2, "--fresh-flute: found no ledger, allowed: with --ledger FILE"),
]


@pytest.mark.parametrize(("more", "code", "message"), REFUSED)
def test_what_cannot_be_is_told(job, capsys, more, code, message):
    assert run(["make", "tag.yaml", *more]) == code
    assert message in capsys.readouterr().err
    assert not (job.parent / "out").exists()


def test_a_job_that_is_not_released_is_not_booked(job, capsys):
    job.write_text(JOB.replace("hold: tape", "hold: screws"))  # nothing would hold the tag
    assert run(["make", "tag.yaml", "--ledger", "shop.yaml", "--book"]) == 2
    assert not job.with_name("shop.yaml").exists()


def test_a_ledger_that_cannot_be_written(job, capsys, monkeypatch):
    """Said before anything is made where its folder is not there; else what was not booked is not released."""
    assert run(["make", "tag.yaml", "--ledger", "gone/shop.yaml", "--book"]) == 2
    assert "--ledger: found 'gone/shop.yaml', allowed: a file in a folder that exists" in capsys.readouterr().err
    assert not (job.parent / "out").exists()

    def full(path, text):
        raise OSError(28, "No space left on device", str(path))

    monkeypatch.setattr("kerfwright.shell.books.write_whole", full)
    assert run(["make", "tag.yaml", "--ledger", "shop.yaml", "--book"]) == 2
    assert "error: shop.yaml: cannot be written: No space left on device" in capsys.readouterr().err
    assert sorted(p.name for p in (job.parent / "out/tag").glob("*.nc")) == []
    assert not json.loads((job.parent / "out/tag/result.json").read_text())["ok"]
    assert not job.with_name("shop.yaml").exists()


def test_the_same_job_twice_is_booked_once(job, capsys):
    assert run(["make", "tag.yaml", "tag.yaml", "--ledger", "shop.yaml", "--book", "--json"]) == 2
    lines = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [one["ok"] for one in lines] == [True, False]
    assert [b["times"] for b in yaml.safe_load(job.with_name("shop.yaml").read_text())["booked"]] == [1]
