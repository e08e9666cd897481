"""Changing a file a person keeps: all of the new bytes or all of the old ones, whatever happens meanwhile.

The file stays locked from reading to writing (where the system has `fcntl`), so that two commands at once
lose nothing. The new bytes go to a temporary file in the same folder, are forced to the disk, and take the
file's name in one step. A symbolic link is followed, never replaced; the file's mode and, where that is
allowed, its owner stay. Elsewhere, and against editors, which take no lock: the file is read again just
before the change of names, and a file that changed meanwhile is left alone.
"""

from __future__ import annotations

import contextlib
import os
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from precheck.cli.output import CannotJudge, problems_text
from precheck.model.problem import Problem
from precheck.read.files import read_bytes
from precheck.read.show import visible

try:
    import fcntl
except ImportError:  # not on this system: see above
    fcntl = None  # type: ignore[assignment]

_PATIENCE = 30  # seconds to wait for another command to finish
_PAUSE = 0.02


class Held:
    """A file that is read and locked. `data` are its bytes."""

    def __init__(self, name: str, path: str, data: bytes) -> None:
        self.name, self.path, self.data = name, path, data

    def replace(self, data: bytes) -> None:
        """Give the file these bytes. Raises CannotJudge, with the file as it was, where that cannot be."""
        temporary = ""
        try:
            handle, temporary = tempfile.mkstemp(dir=os.path.dirname(self.path), prefix=".precheck-")
            try:
                _like(self.path, temporary)
                _all_of(data, handle)
            finally:
                os.close(handle)
            if read_bytes(self.path, self.name) != self.data:
                raise CannotJudge(
                    f"precheck: {visible(self.name)} was changed by another program meanwhile; "
                    "nothing was written. Run the command again.\n"
                )
            os.replace(temporary, self.path)
        except OSError as error:
            raise CannotJudge(
                f"precheck: cannot write {visible(self.name)}: {error.strerror}; the file is as it was\n"
            ) from error
        finally:
            with contextlib.suppress(OSError):
                os.unlink(temporary)  # after the change of names there is none any more
        _settled(os.path.dirname(self.path))


@contextlib.contextmanager
def held(name: str) -> Iterator[Held]:
    """The file, read and locked until the block ends.

    Raises CannotJudge where it cannot be read or locked, or may not be written.
    """
    path = os.path.realpath(name)
    handle = _locked(name, path)
    try:
        data = read_bytes(path, name)
        if isinstance(data, Problem):
            raise CannotJudge(problems_text([data], "nothing was written"))
        yield Held(name, path, data)
    finally:
        if handle is not None:
            os.close(handle)


def create(path: Path, text: str) -> None:
    """Write a new file. Raises CannotJudge where there is one already, or it cannot be written whole."""
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
    except FileExistsError as error:
        raise CannotJudge(
            f"precheck: {visible(str(path))} is there already, and nothing is overwritten; "
            "name another file\n"
        ) from error
    except OSError as error:
        raise CannotJudge(f"precheck: cannot write {visible(str(path))}: {error.strerror}\n") from error
    try:
        try:
            _all_of(text.encode(), handle)
        finally:
            os.close(handle)
    except OSError as error:
        with contextlib.suppress(OSError):
            os.unlink(path)
        raise CannotJudge(f"precheck: cannot write {visible(str(path))}: {error.strerror}\n") from error


def _locked(name: str, path: str) -> int | None:
    """An open file with the lock on what bears the name now; another command may just have replaced it.

    None where the system has no locks: an open file could not be replaced on some of them.
    """
    end = time.monotonic() + _PATIENCE
    while True:
        checked = read_bytes(path, name)  # what is no regular file is told as everywhere, and not opened
        if isinstance(checked, Problem):
            raise CannotJudge(problems_text([checked], "nothing was written"))
        try:
            handle = os.open(path, os.O_RDWR | getattr(os, "O_CLOEXEC", 0))
        except OSError as error:
            raise CannotJudge(
                f"precheck: cannot write {visible(name)}: {error.strerror}; the file is as it was\n"
            ) from error
        if fcntl is None:
            os.close(handle)
            return None
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            if os.path.samestat(os.fstat(handle), os.stat(path)):
                return handle
        except BlockingIOError:
            pass
        except FileNotFoundError:
            pass
        except OSError:
            return handle  # a file system without locks: the file is compared before it is replaced
        os.close(handle)
        if time.monotonic() > end:
            raise CannotJudge(
                f"precheck: another command has had {visible(name)} for {_PATIENCE} seconds; "
                "nothing was written. Run the command again.\n"
            )
        time.sleep(_PAUSE)


def _all_of(data: bytes, handle: int) -> None:
    """Every byte written, and forced to the disk."""
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(handle, rest) :]
    os.fsync(handle)


def _like(path: str, temporary: str) -> None:
    """Mode and owner of the old file; an owner that cannot be given stays the writer."""
    old = os.stat(path)
    if hasattr(os, "chown"):
        with contextlib.suppress(OSError):
            os.chown(temporary, old.st_uid, old.st_gid)
    os.chmod(temporary, old.st_mode & 0o7777)


def _settled(folder: str) -> None:
    """The change of names forced to the disk, where a folder can be."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
