"""How long a program takes on its machine, from its read-back moves: limited by feed, rapids and acceleration.

The model. The cutter follows the path as it is written. Each move has a speed that feed, rapids and bends allow and an
acceleration along its way (`limits`); at each corner it is as fast as the allowed deviation lets it be (`corners`); looking
ahead and back over all moves gives the speed at each node (`speeds`), and a closed formula the time of each move
(`durations`). Dwells, cutter changes and stops come from the text (`waits`), operations from the plan (`operations`).

Jerk, and what the controller needs for itself, are left out. Acceleration along an arc and across it are each held to the
limit, not their sum. A rapid is timed as a straight line, also where the axes of the machine arrive one by one. Under exact
stop the cutter stands after each move, as the text asks; under exact path it takes corners within the machine's own deviation.
"""

from __future__ import annotations

from kerfwright.timing.operations import OperationTime, operation_times
from kerfwright.timing.times import Times, timed

__all__ = ["OperationTime", "Times", "operation_times", "timed"]
