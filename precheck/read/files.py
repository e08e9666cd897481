"""Read a file a person named, or say in one Problem why it cannot be read."""

from __future__ import annotations

import os
import stat
from pathlib import Path

from precheck.model.node import Source
from precheck.model.problem import Mark, Problem
from precheck.read.chars import MAX_BYTES, too_large
from precheck.read.strict_yaml import read_yaml


def read_file(path: str | Path, name: str | None = None) -> tuple[Source | None, tuple[Problem, ...]]:
    """Read one YAML file. `name` is what problems call it; without it the path as given.

    Only regular files are read, and never more than the size cap.
    """
    shown = str(path) if name is None else name
    data = read_bytes(path, shown)
    if isinstance(data, Problem):
        return None, (data,)
    return read_yaml(data, shown)


def read_bytes(path: str | Path, name: str) -> bytes | Problem:
    """The bytes of a regular file of at most MAX_BYTES bytes."""
    # O_NONBLOCK: opening a pipe nobody writes to must not wait
    flags = os.O_RDONLY
    for flag in ("O_NONBLOCK", "O_CLOEXEC", "O_BINARY"):
        flags |= getattr(os, flag, 0)
    try:
        if os.path.isdir(path):
            return _problem(name, "is-a-directory", "this is a directory", "a file", "name a file inside it")
        if not stat.S_ISREG(os.stat(path).st_mode):  # before opening: opening a device may do something
            return _special(name)
        descriptor = os.open(path, flags)
        with os.fdopen(descriptor, "rb") as file:
            if not stat.S_ISREG(os.fstat(descriptor).st_mode):
                return _special(name)
            data = file.read(MAX_BYTES + 1)
    except FileNotFoundError:
        return _problem(name, "no-such-file", "there is no such file", "a file", "check the name")
    except PermissionError:
        return _problem(name, "not-readable", "you may not read this file", "a readable file")
    except (OSError, ValueError) as error:  # ValueError: a NUL in the name
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        return _problem(name, "not-readable", f"the file cannot be read: {reason}", "a readable file")
    return too_large(name) if len(data) > MAX_BYTES else data


def _special(name: str) -> Problem:
    return _problem(name, "not-a-file", "this is a device, pipe or socket", "a regular file")


def _problem(name: str, code: str, found: str, expected: str, write: str = "") -> Problem:
    return Problem(name, Mark(1, 1), code, found, expected, write)
