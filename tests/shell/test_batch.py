"""`batch`: many jobs side by side, as `make` makes each; stopped, and taken up again."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import time
import warnings

import pytest

from kerfwright.shell import run
from kerfwright.shell.batch_command import _ears_shut, _executor

JOB = """\
job: NAME
machine: light-router
sheet: {material: acrylic, size: [60, 60], thickness: 2, breakthrough: 0.3, board: 12, hold: tape}
cutters: {mill: {form: end_mill, flutes: up, diameter: 3, teeth: 2, flute_length: 8}}
parts: [{name: tag, at: [15, 15], drawing: tag.svg}]
operations: [{profile: {cutter: mill, select: outer}}]
"""
SVG = """\
<svg xmlns="http://www.w3.org/2000/svg" width="WIDEmm" height="20mm" viewBox="0 0 WIDE 20"><rect width="WIDE" height="20"/></svg>
"""


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    jobs = tmp_path / "jobs"
    for name in ("ant", "bee", "cat"):
        (jobs / name).mkdir(parents=True)
        (jobs / name / f"{name}.yaml").write_text(JOB.replace("NAME", name))
        (jobs / name / "tag.svg").write_text(SVG.replace("WIDE", "24"))
    (jobs / "ant" / "shop.yaml").write_text("currency: EUR\n")  # no job
    return tmp_path


def files(out):
    return {str(p.relative_to(out)): p.read_bytes() for p in sorted(out.rglob("*")) if p.is_file()}


def stood(err):
    found = re.search(r"(\d+) of (\d+) jobs stand as they were made before", err)
    return tuple(map(int, found.groups())) if found else None


def test_as_make_makes_each(folder, capsys):
    assert run(["batch", "jobs", "--out", "many", "--workers", "2"]) == 0
    told = capsys.readouterr().out
    assert run(["make", *(f"jobs/{n}/{n}.yaml" for n in ("ant", "bee", "cat")), "--out", "one"]) == 0
    many = files(folder / "many")
    assert "batch.json" in many
    assert {k: v for k, v in many.items() if k != "batch.json"} == files(folder / "one")
    for name in ("ant", "bee", "cat"):
        assert f"{name}: proved, in many/{name}" in told


def test_it_is_taken_up_again(folder, capsys):
    """Nothing changed: nothing is made. A drawing, a result, a job or an option changed: that is made again, and no more."""
    again = ["batch", "jobs", "--workers", "1"]
    assert run(["batch", "jobs/ant", "jobs/bee/bee.yaml", "--workers", "1"]) == 0  # as if stopped before cat
    first = files(folder / "out")
    capsys.readouterr()
    assert run(again) == 0
    assert stood(capsys.readouterr().err) == (2, 3)
    kept = files(folder / "out")
    assert all(kept[k] == v for k, v in first.items() if k != "batch.json")
    assert run(again) == 0
    assert stood(capsys.readouterr().err) == (3, 3)
    assert files(folder / "out") == kept

    (folder / "jobs/bee/tag.svg").write_text(SVG.replace("WIDE", "26"))
    assert run(again) == 0
    assert stood(capsys.readouterr().err) == (2, 3)
    assert files(folder / "out")["bee/bee-1-mill.nc"] != kept["bee/bee-1-mill.nc"]

    (folder / "out/ant/result.json").unlink()
    (folder / "jobs/cat/cat.yaml").write_text(JOB.replace("NAME", "cat") + "pace: steady\n")
    assert run(again) == 0
    assert stood(capsys.readouterr().err) == (1, 3)
    assert (folder / "out/ant/result.json").read_bytes() == kept["ant/result.json"]
    assert run([*again, "--dialect", "iso6983"]) == 0
    assert stood(capsys.readouterr().err) is None


def test_the_highest_code_counts_and_others_go_on(folder, capsys):
    """A wrong job is told and made again each time; the others stand."""
    bee = folder / "jobs/bee/bee.yaml"
    bee.write_text(bee.read_text().replace("diameter: 3", "diameter: -3"))
    for before in (None, (2, 3)):
        assert run(["batch", "jobs", "--workers", "1"]) == 2
        told = capsys.readouterr()
        assert "cutters.mill.diameter: found -3" in told.err
        assert stood(told.err) == before
    assert not (folder / "out/bee").exists()


PLUGIN = """\
from kerfwright.finding import Check, Finding
from kerfwright.hookspecs import hookimpl


class NoCats(Check):
    name = "no_cats"
    remedy = "make no cats"

    def find(self, evidence):
        if evidence.setup.job.name == "cat":
            yield Finding(self.name, "error", "a cat", None, "cat-1-mill.nc", 1)


@hookimpl
def kerfwright_checks():
    return [NoCats]
"""


def test_a_job_that_was_not_released_stands_with_its_code(folder, capsys):
    """A plugin by file reaches the workers."""
    (folder / "cats.py").write_text(PLUGIN)
    call = ["batch", "jobs", "--workers", "1", "--plugin", "cats.py"]
    assert run(call) == 1
    assert "cat: NOT RELEASED" in capsys.readouterr().out
    assert not (folder / "out/cat/cat-1-mill.nc").exists()
    assert (folder / "out/bee/bee-1-mill.nc").exists()
    assert run(call) == 1
    assert stood(capsys.readouterr().err) == (3, 3)


def test_on_a_cluster(folder, capsys):
    """A scheduler and a worker in threads here; what they make is the same to the byte."""
    import distributed

    with (
        warnings.catch_warnings(),
        distributed.LocalCluster(n_workers=1, threads_per_worker=1, processes=False, dashboard_address=None) as cluster,
    ):
        warnings.simplefilter("ignore")  # the cluster's own
        assert run(["batch", "jobs", "--out", "far", "--scheduler", cluster.scheduler_address]) == 0
        assert run(["batch", "jobs", "--out", "far", "--scheduler", cluster.scheduler_address]) == 0
    assert stood(capsys.readouterr().err) == (3, 3)
    assert run(["batch", "jobs", "--out", "here", "--workers", "1"]) == 0
    assert files(folder / "far") == files(folder / "here")


def test_a_job_without_a_name_that_is_allowed_is_told(folder, capsys):
    bee = folder / "jobs/bee/bee.yaml"
    bee.write_text(bee.read_text().replace("job: bee", "job: bee/.."))
    assert run(["batch", "jobs", "--workers", "1"]) == 2
    assert "jobs/bee/bee.yaml:1:6: job: found 'bee/..'" in capsys.readouterr().err


def test_json_is_one_line_a_job(folder, capsys):
    assert run(["batch", "jobs", "--workers", "1", "--json"]) == 0
    lines = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert sorted(one["job"] for one in lines) == ["ant", "bee", "cat"]
    assert all(one["ok"] for one in lines)


REFUSED = [
    (["-"], "JOBS: found standard input, allowed: files and folders"),
    (["jobs/ant/empty"], "JOBS: found no job in 'jobs/ant/empty'"),
    (["jobs", "twin.yaml"], "twin.yaml: job: found 'ant', the name of jobs/ant/ant.yaml too"),
    (["jobs", "--out", "broken"], "broken/batch.json: found no standing of a batch"),
    (["jobs", "--scheduler", "tcp://127.0.0.1:1"], "--scheduler: found no scheduler at 'tcp://127.0.0.1:1'"),
]


@pytest.mark.parametrize(("more", "message"), REFUSED)
def test_what_cannot_be_is_told(folder, capsys, monkeypatch, more, message):
    (folder / "jobs/ant/empty").mkdir()
    (folder / "broken").mkdir()
    (folder / "broken/batch.json").write_text("[]")
    (folder / "twin.yaml").write_text(JOB.replace("NAME", "ant"))
    assert run(["batch", *more]) == 2
    assert message in capsys.readouterr().err
    assert not (folder / "out").exists()


def test_a_plugin_or_a_program_that_changed_makes_the_job_again(folder, capsys):
    plugin = folder / "cats.py"
    plugin.write_text(PLUGIN.replace('"cat"', '"cow"'))
    call = ["batch", "jobs", "--workers", "1", "--plugin", "cats.py"]
    assert run(call) == 0
    capsys.readouterr()
    (folder / "out/ant/ant-1-mill.nc").unlink()
    with (folder / "out/bee/bee-1-mill.nc").open("a") as f:
        f.write("M30\n")
    assert run(call) == 0
    assert stood(capsys.readouterr().err) == (1, 3)
    assert (folder / "out/ant/ant-1-mill.nc").exists()
    plugin.write_text(PLUGIN)
    assert run(call) == 1
    assert stood(capsys.readouterr().err) is None
    assert not (folder / "out/cat/cat-1-mill.nc").exists()


def test_files_for_the_quote_and_the_output_count(folder, capsys):
    """As drawings do."""
    ant = folder / "jobs/ant"
    (ant / "ant.yaml").write_text(
        JOB.replace("NAME", "ant") + "quote: {sheet_price: 9, shop: shop.yaml}\noutput: own.yaml\n"
    )
    (ant / "own.yaml").write_text("base: nist6556\n")
    again = ["batch", "jobs/ant", "--workers", "1"]
    for file, text in (("shop.yaml", "currency: CHF\n"), ("own.yaml", "base: nist6556\nword: {decimals: 4}\n")):
        assert run(again) == 0
        capsys.readouterr()
        assert run(again) == 0
        assert stood(capsys.readouterr().err) == (1, 1)
        (ant / file).write_text(text)
        assert run(again) == 0
        assert stood(capsys.readouterr().err) is None


def test_a_job_that_is_refused_now_keeps_no_program(folder):
    bee = folder / "jobs/bee/bee.yaml"
    for text in (JOB, "{" + JOB.replace("\n", ",\n") + "}\n"):  # YAML knows two ways to write a mapping
        bee.write_text(text.replace("NAME", "bee"))
        assert run(["batch", "jobs/bee", "--workers", "1"]) == 0
        assert (folder / "out/bee/bee-1-mill.nc").exists()
        bee.write_text(bee.read_text().replace("diameter: 3", "diameter: -3"))
        assert run(["batch", "jobs/bee", "--workers", "1"]) == 2
        assert not list((folder / "out/bee").glob("*.nc"))


def test_a_lost_worker_leaves_no_earlier_program(folder, monkeypatch, capsys):
    assert run(["batch", "jobs/bee", "--workers", "1"]) == 0
    (folder / "jobs/bee/tag.svg").write_text(SVG.replace("WIDE", "26"))

    def lost(*_):
        raise MemoryError

    monkeypatch.setattr("kerfwright.shell.batch_command._made", lost)
    assert run(["batch", "jobs/bee", "--workers", "1"]) == 3
    assert not list((folder / "out/bee").glob("*.nc"))
    assert "jobs/bee/bee.yaml: internal fault: MemoryError" in capsys.readouterr().err


def test_workers_never_hear_ctrl_c():
    """A terminal sends it to all processes; a worker that heard it while it begins would show a traceback."""
    with _executor(2, None, 2) as executor:
        with _ears_shut():
            heard = [executor.submit(signal.getsignal, signal.SIGINT) for _ in range(2)]
        assert [one.result() for one in heard] == [signal.SIG_IGN] * 2
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


@pytest.mark.skipif(os.name == "nt", reason="signals to a group of processes")
def test_ctrl_c_ends_all_and_it_is_taken_up_again(folder):
    """Sent to the whole group. That its error output ends says that no worker is left."""
    program = (
        "import sys; from kerfwright.shell import main; sys.argv[1:] = ['batch', 'jobs', '--workers', '2']; main()"
    )
    call = [sys.executable, "-c", program]
    one = subprocess.Popen(call, start_new_session=True, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
    time.sleep(1.2)
    os.killpg(one.pid, signal.SIGINT)
    told = one.communicate(timeout=60)[1]
    assert "multiprocessing" not in told
    assert run(["batch", "jobs", "--workers", "1"]) == 0
    assert run(["batch", "jobs", "--out", "whole", "--workers", "1"]) == 0
    assert files(folder / "out") == files(folder / "whole")


STANDINGS = [
    "[]",
    '{"jobs": []}',
    '{"jobs": {"jobs/ant/ant.yaml": {}}}',
    '{"jobs": {"jobs/ant/ant.yaml": {"name": "ant", "code": "x", "job": "", "files": null, "result": "", "options": {}}}}',
    "\0",
]


@pytest.mark.parametrize("text", STANDINGS)
def test_a_standing_that_is_none_is_told(folder, capsys, text):
    (folder / "out").mkdir()
    (folder / "out/batch.json").write_text(text)
    assert run(["batch", "jobs", "--workers", "1"]) == 2
    assert "out/batch.json: found no standing of a batch" in capsys.readouterr().err
