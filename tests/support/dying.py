"""`python -m tests.support.dying FILE LINE`: kills `precheck jot` at every step and at random moments.

For each death it prints what the file was afterwards: old, new, or something else. Run as a process of its
own, because it forks; every child jots on a file with the same first bytes. The last line says how many
steps a jot has, so that a test can see that all of them were tried.
"""

from __future__ import annotations

import os
import random
import signal
import sys
import time
from collections.abc import Callable
from typing import Any

from precheck.cli import jot as command
from precheck.cli.main import main
from precheck.rulebook.load import load_quickly

STEPS = ("open", "close", "write", "fsync", "chmod", "chown", "replace", "unlink", "stat", "fstat")
RANDOM_DEATHS = 40


def jot(path: str, line: str) -> None:
    null = os.open(os.devnull, os.O_WRONLY)
    os.dup2(null, 1)
    os.dup2(null, 2)
    main(["jot", path, line, "--on", "2026-11-20", "--by", "RO"])


def dying_at(step: int, half: bool) -> Callable[[], int]:
    """Wraps the system calls so that the process ends before call number `step`, or in the middle of it."""
    count = 0

    def wrapped(name: str, real: Any) -> Any:
        def call(*given: Any, **named: Any) -> Any:
            nonlocal count
            count += 1
            if count == step:
                if half and name == "write":
                    real(given[0], bytes(given[1])[: len(given[1]) // 2])
                elif half:
                    real(*given, **named)
                os._exit(9)
            return real(*given, **named)

        return call

    for name in STEPS:
        setattr(os, name, wrapped(name, getattr(os, name)))
    return lambda: count


def run(path: str, line: str, old: bytes, prepare: Callable[[], Any], wait: float | None = None) -> int:
    """One child; its exit code, or the signal as a negative number."""
    with open(path, "wb") as file:
        file.write(old)
    child = os.fork()
    if child == 0:
        counted = prepare()
        jot(path, line)
        os._exit(min(counted(), 255) if counted else 0)
    if wait is not None:
        time.sleep(wait)
        os.kill(child, signal.SIGKILL)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def whole(path: str, line: str) -> None:
    with open(path, "rb") as file:
        old = file.read()
    book = load_quickly()
    command.rulebook = lambda options: book  # what is killed is the writing, not the reading of the rules
    began = time.monotonic()
    steps = run(path, line, old, lambda: dying_at(-1, False))
    long = time.monotonic() - began
    with open(path, "rb") as file:
        new = file.read()

    def told(what: str) -> None:
        with open(path, "rb") as file:
            data = file.read()
        print(what, "old" if data == old else "new" if data == new else f"torn {data!r}", flush=True)

    for step in range(1, steps + 1):
        for half in (False, True):
            run(path, line, old, lambda step=step, half=half: dying_at(step, half))
            told(f"step {step}")
    chance = random.Random(20261120)
    for _ in range(RANDOM_DEATHS):
        run(path, line, old, lambda: None, chance.uniform(0, long))
        told("random")
    print("steps", steps)


if __name__ == "__main__":
    whole(*sys.argv[1:])
