"""The generated comparisons of the tests, many times over: `python -m tests.engine.many_trials 100000`.

Each trial is one generated document judged by network, judge and the slow third evaluator, and another
settled by settle and its slow second reference. Stops at the first difference.
"""

from __future__ import annotations

import sys

from tests.engine import test_two_evaluators as evaluators
from tests.settle import test_two_settles as settles


def main() -> int:
    wanted, done = int(sys.argv[1]), 0
    first = int(sys.argv[2]) if len(sys.argv) > 2 else evaluators.BATCHES  # seeds that the tests do not use
    seed = first
    while done < wanted:
        evaluators.test_three_evaluators_agree(seed)
        settles.test_settle_agrees_with_the_slow_reference(seed)
        seed, done = seed + 1, done + evaluators.EACH
        if done % 5000 == 0:
            print(f"{done} documents, seeds {first} to {seed - 1}: no difference", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
