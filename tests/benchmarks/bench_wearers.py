"""New bodies with new choices, as many as fit into the time: JSON lines.

Every run takes a seed of its own and says it; give it again to see the same cases. Styles take turns.
``ratio`` is the share drafted so that every check passed; the rest was refused with a field and advice. A
draft that breaks a check, or a refusal without them, ends the run with the case.

Run: python -m tests.benchmarks.bench_wearers [SECONDS [SEED]]
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from itertools import count
from random import SystemRandom
from time import process_time

from drafting.styles import STYLES
from tests.drafting.styles.outcomes import tallied
from tests.drafting.styles.wearers import random_cases

SECONDS = 60.0
A_TURN = 4  # cases of each style


def main() -> None:
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else SECONDS
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else SystemRandom().randrange(10**9)
    end = process_time() + seconds
    right, refused = Counter[str](), Counter[str]()
    for turn in count():
        for style in STYLES:
            tally = tallied(random_cases(A_TURN, seed + turn, style))
            if tally.faults:
                sys.exit("\n".join(f"{told}: {case}" for told, case in tally.faults))
            right[style] += tally.right
            refused.update(tally.refused)
        if process_time() > end:
            break
    drawn, all_cases = right.total(), right.total() + refused.total()
    fewest = min(STYLES, key=lambda style: right[style])
    print(
        json.dumps(
            {
                "bench": "new_wearers",
                "seed": seed,
                "cases": all_cases,
                "right": drawn,
                "refused": refused.total(),
                "refused_most_often": dict(refused.most_common(6)),
                "fewest_right": {fewest: right[fewest]},
                "ratio": round(drawn / all_cases, 3),
            }
        )
    )


if __name__ == "__main__":
    main()
