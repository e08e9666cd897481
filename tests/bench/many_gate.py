"""What 200 vehicles in one process cost, as ratios within one run.

Against 200 times one warm gate (rulebook loaded, one document read and judged), and against one cold gate (a
process of its own). Processor time, because machines differ and are busy. Prints, asserts nothing.
"""

from __future__ import annotations

import contextlib
import io
import os
import resource
import subprocess
import sys
import tempfile
import time
from datetime import date
from pathlib import Path
from statistics import median

from precheck.answer.gate import Request
from precheck.cli.main import main as precheck
from precheck.cli.several import vehicle_line
from precheck.model.catalogue import Day
from precheck.rulebook.load import load_quickly

ROOT = Path(__file__).resolve().parent.parent.parent
NAMES = ("juniper", "juniper-ready", "juniper-first-look", "heron", "linnet", "dunlin")
FILES = 200
DAY = date(2026, 11, 14)
WARM, COLD = 15, 5


def folder(path: Path) -> None:
    """The fixtures in turn, as so many files."""
    for number in range(FILES):
        source = ROOT / "fixtures" / f"{NAMES[number % len(NAMES)]}.yaml"
        (path / f"{number:03}.yaml").write_bytes(source.read_bytes())


def warm(path: Path) -> float:
    """One vehicle by a rulebook that is loaded already, the mean over the fixtures; the median of several."""
    book, request = load_quickly(), Request(Day(DAY, True))
    files = [str(path / f"{number:03}.yaml") for number in range(len(NAMES))]
    times = []
    for _ in range(WARM):
        start = time.process_time()
        for file in files:
            vehicle_line(file, None, book, request)
        times.append((time.process_time() - start) / len(files))
    return median(times)


def cold(path: Path) -> float:
    times = []
    for _ in range(COLD):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        command = [sys.executable, "-m", "precheck", "gate", str(path / "000.yaml"), "--on", str(DAY)]
        subprocess.run(command, cwd=ROOT, env=os.environ, stdout=subprocess.DEVNULL, check=False)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        times.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return median(times)


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        path = Path(name)
        folder(path)
        one_warm, one_cold = warm(path), cold(path)
        start = time.process_time()
        with contextlib.redirect_stdout(io.StringIO()):
            precheck(["gate", name, "--on", str(DAY)])
        whole = time.process_time() - start
    print(f"one warm gate  {one_warm * 1000:8.0f} ms")
    print(f"one cold gate  {one_cold * 1000:8.0f} ms")
    print(f"{FILES} vehicles   {whole * 1000:8.0f} ms")
    print(f"{FILES} vehicles against {FILES} warm gates: {whole / FILES / one_warm:6.2f} x")
    print(f"{FILES} vehicles against one cold gate:  {whole / one_cold:6.1f} x")


if __name__ == "__main__":
    main()
