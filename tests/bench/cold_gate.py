"""What a cold gate costs, as a multiple of starting the bare interpreter, in one run.

Ratios of medians of processor time (user and system, of the process alone), because machines differ and
are busy. Prints, asserts nothing.
"""

from __future__ import annotations

import resource
import subprocess
import sys
from pathlib import Path
from statistics import median

ROOT = Path(__file__).resolve().parent.parent.parent
GATE = ["-m", "precheck", "gate", "fixtures/juniper.yaml", "--for", "yard", "--on", "2026-11-14"]
CASES = {
    "bare interpreter": ["-c", "pass"],
    "import yaml": ["-c", "import yaml"],
    "import yaml, jsonschema, pint": ["-c", "import yaml, jsonschema, pint"],
    "gate, library from the cache": GATE,
    "gate, library read anew": GATE,
}
RUNS = 15


def once(name: str, arguments: list[str]) -> float:
    environment = {"PATH": "/usr/bin:/bin", "HOME": str(Path.home())}
    if name == "gate, library read anew":
        environment["PRECHECK_NO_CACHE"] = "1"
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(
        [sys.executable, *arguments], cwd=ROOT, env=environment, stdout=subprocess.DEVNULL, check=False
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    times: dict[str, list[float]] = {name: [] for name in CASES}
    for name, arguments in CASES.items():
        once(name, arguments)  # fill caches
    for _ in range(RUNS):  # in turns, so that a busy moment hits all alike
        for name, arguments in CASES.items():
            times[name].append(once(name, arguments))
    bare = median(times["bare interpreter"])
    for name, found in times.items():
        print(f"{name:<32}{median(found) * 1000:8.0f} ms {median(found) / bare:7.1f} x")


if __name__ == "__main__":
    main()
