"""`kerfwright rates`: each number with its formula, inputs, limit and source."""

from __future__ import annotations

import json

import pytest

from kerfwright.shell import run


def test_a_burr_in_laminate(capsys):
    """Worked by hand: pi x 2 x 24 = 150.8 m/min; 500 / 24000 = 0.02083 mm a turn; 300 x 2 x 2 x 500 / 60,000 = 10 W;
    60 x 10 / 150.8 = 3.979 N, x sqrt(1.25) = 4.449 N; / 300 = 0.01483 mm.
    """
    assert run(["rates", "--material", "cfrp", "--cutter", "burr-2", "--machine", "light-router"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert (
        lines[0] == "carbon-fibre laminate, 2 mm; burr end mill of 2 mm, 8 teeth, flutes 8 mm; light-router; pace first"
    )
    rows = {line[2:24].strip(): line[24:].split(maxsplit=2) for line in lines[1:-1]}
    assert {k: v[0] for k, v in rows.items()} == {
        "spindle": "24000", "cutting speed": "150.8", "feed": "500", "feed a turn": "0.02083", "plunge feed": "50",
        "axial depth": "2", "radial depth": "0.3", "power": "10", "force": "3.979", "side force": "4.449",
        "cutter bends": "0.003933", "machine bends": "0.01483",
    }  # fmt: skip
    assert "as fast as the spindle of light-router turns" in rows["spindle"][2]
    assert "common practice" in rows["feed"][2]
    assert rows["power"][2].startswith(
        "kc ae ap vf / 60,000: kc 300 N/mm2 (from memory), ae 2 mm, ap 2 mm, vf 500 mm/min"
    )
    assert lines[-1].startswith("For plans, not for safety")


def test_as_json_and_by_diameter(capsys):
    assert (
        run(
            [
                "rates",
                "--material",
                "acrylic",
                "--cutter",
                "1/8 in",
                "--machine",
                "stiff-router",
                "--teeth",
                "1",
                "--json",
            ]
        )
        == 0
    )
    told = json.loads(capsys.readouterr().out)
    assert {"spindle", "feed a tooth", "chip, greatest"} <= {f["name"] for f in told["figures"]}
    assert all(f["why"] for f in told["figures"])


@pytest.mark.parametrize(
    ("more", "message"),
    [
        (["--material", "cfpr"], "--material: found 'cfpr', allowed: acrylic, "),
        (["--cutter", "burr-9"], "--cutter: found 'burr-9', allowed: burr-1.5, "),
        (["--cutter", "0 mm"], "--cutter: found '0 mm', allowed: a length above 0 and at most 50 mm"),
        (["--cutter", "9 mm"], "cutter: found an end_mill (burr) of 9 mm, for which cfrp has no rates"),
        (["--thickness", "3 kg"], "--thickness: found the unit 'kg', allowed: "),
    ],
)
def test_a_mistake_is_told(more, message, capsys):
    right = {"--material": "cfrp", "--cutter": "burr-2", "--machine": "light-router"} | {more[0]: more[1]}
    assert run(["rates", *[v for pair in right.items() for v in pair]]) == 2
    assert message in capsys.readouterr().err
