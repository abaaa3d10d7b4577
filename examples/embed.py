"""kerfwright inside another program: a washer as values, made, proved and looked at; no file is read or written.

Run: python examples/embed.py
"""

from __future__ import annotations

import attrs

import kerfwright as kw

JOB = """
job: washer
machine: light-router
sheet: {material: acrylic, size: [60, 60], thickness: 3, breakthrough: 0.4, board: 12, hold: tape}
cutters:
  mill: {form: end_mill, flutes: straight, diameter: 3, teeth: 1, flute_length: 12}
parts:
  - name: washer
    shapes:
      - circle: {center: [0, 0], diameter: 30}
      - circle: {center: [0, 0], diameter: 12.5}
    at: [15, 15]
operations:
  - profile: {cutter: mill, select: inner}
  - profile: {cutter: mill, select: outer}
"""


def main() -> int:
    job = kw.load_job("-", text=JOB)
    for thickness in (2.0, 3.0):
        sheet = attrs.evolve(
            job.sheet, thickness=attrs.evolve(job.sheet.thickness, nominal=thickness, least=thickness, most=thickness)
        )
        result = kw.make(attrs.evolve(job, name=f"washer-{thickness:g}", sheet=sheet))
        print(f"{result.job.name}: {'proved' if result.ok else 'not released'}")
        for finding in result.findings:
            print(f"  {finding.severity}: {finding.message}")
        for program in result.programs:
            moves = kw.read(program.text, program.dialect)
            print(f"  {program.file}: {program.lines} lines, deepest Z {moves.curve.nodes[1:, 2].min():.3f} mm")
        if not result.ok:
            return 1
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
