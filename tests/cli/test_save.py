"""A file is changed wholly or not at all: several commands at once, death at any moment, disks that fail.

No expected value here comes from a source; what must hold is that no reading is ever lost.
"""

from __future__ import annotations

import errno
import os
import shutil
import subprocess
import sys
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from precheck.cli import save
from precheck.cli.main import main
from precheck.cli.output import CannotJudge

ROOT = Path(__file__).resolve().parents[2]
TEXT = (ROOT / "fixtures" / "juniper-first-look.yaml").read_bytes()


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "car.yaml"
    path.write_bytes(TEXT)
    return path


def jot(file: Path, line: str) -> int:
    return main(["jot", str(file), line, "--on", "2026-11-14"])


@pytest.mark.skipif(save.fcntl is None, reason="no locks on this system")
@pytest.mark.parametrize("number", [2, 8])
def test_jots_at_once_lose_nothing(file: Path, number: int) -> None:
    lines = [f"lf pressure {20 + n} psi" for n in range(number)]
    running = [
        subprocess.Popen(
            [sys.executable, "-m", "precheck", "jot", str(file), line, "--on", "2026-11-14"],
            cwd=ROOT,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
        )
        for line in lines
    ]
    said = [process.communicate(timeout=120)[0].decode() for process in running]
    assert [process.returncode for process in running] == [0] * number, said
    text = file.read_bytes()
    assert text.startswith(TEXT)
    assert Counter(line.strip() for line in text[len(TEXT) :].decode().splitlines() if "psi" in line) == {
        f"tire-pressure-cold: {{left-front: {20 + n} psi}}": 1 for n in range(number)
    }
    for _ in lines:
        assert main(["jot", str(file), "--undo"]) == 0
    assert file.read_bytes() == TEXT
    assert [p.name for p in file.parent.iterdir()] == ["car.yaml"]


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
def test_death_at_any_moment_leaves_the_old_file_or_the_new_one(file: Path) -> None:
    """Before and after every system call of a jot, in the middle of writing, and at random moments."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.support.dying", str(file), "lf pressure 31 psi"],
        cwd=ROOT, capture_output=True, text=True, timeout=300, check=True,
    )  # fmt: skip
    *deaths, last = done.stdout.splitlines()
    steps = int(last.split()[1])
    assert steps > 20
    assert len(deaths) >= 100
    assert len([line for line in deaths if line.startswith("step")]) == 2 * steps
    found = Counter(line.split(" ")[-1] for line in deaths)
    assert set(found) == {"old", "new"}, deaths
    assert min(found["old"], found["new"]) > 5  # both ends of the change of names were met
    assert main(["jot", str(file), "hood latch both hold", "--on", "2026-11-21"]) == 0


def failing(name: str, code: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """`os.NAME` fails; a write first writes the half of it."""
    real = getattr(os, name)

    def fail(*given: Any, **named: Any) -> Any:
        if name == "write":
            real(given[0], bytes(given[1])[: len(given[1]) // 2])
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(os, name, fail)


@pytest.mark.parametrize(
    ("name", "code"),
    [
        ("write", errno.ENOSPC),
        ("write", errno.EDQUOT),
        ("fsync", errno.EIO),
        ("replace", errno.EACCES),
        ("replace", errno.EXDEV),
        ("chmod", errno.EPERM),
    ],
)
def test_a_disk_that_fails_leaves_the_old_file_and_nothing_beside_it(
    file: Path, name: str, code: int, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    with monkeypatch.context() as patched:
        failing(name, code, patched)
        assert jot(file, "brake pedal firm") == 2
    assert file.read_bytes() == TEXT
    assert [p.name for p in file.parent.iterdir()] == ["car.yaml"]
    out, err = capsys.readouterr()
    assert out == ""
    assert f"cannot write {file}: {os.strerror(code)}; the file is as it was" in err


FULL = """mount -t tmpfs -o size=8k none "$1" || exit 77
cp "$2" "$1/car.yaml" && head -c 4096 /dev/zero > "$1/rest" || exit 77
"$3" -m precheck jot "$1/car.yaml" "brake pedal firm" --on 2026-11-14; said=$?
ls -A "$1"
cmp "$1/car.yaml" "$2" && exit $said
"""


@pytest.mark.skipif(shutil.which("unshare") is None, reason="no file system of one's own here")
def test_a_full_file_system_of_a_few_kilobytes(file: Path, tmp_path: Path) -> None:
    folder = tmp_path / "disk"
    folder.mkdir()
    done = subprocess.run(
        ["unshare", "-m", "sh", "-c", FULL, "sh", folder, file, sys.executable],
        cwd=ROOT, capture_output=True, text=True, timeout=120,
    )  # fmt: skip
    if done.returncode not in (0, 2) or "unshare" in done.stderr:
        pytest.skip("no right to mount a file system")
    assert done.returncode == 2
    assert "No space left on device; the file is as it was" in done.stderr
    assert done.stdout.split() == ["car.yaml", "rest"]


def test_a_folder_that_takes_no_new_file(
    file: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def fail(*given: Any, **named: Any) -> Any:
        raise PermissionError(errno.EROFS, os.strerror(errno.EROFS))

    monkeypatch.setattr(save.tempfile, "mkstemp", fail)
    assert jot(file, "brake pedal firm") == 2
    assert file.read_bytes() == TEXT
    assert "Read-only file system; the file is as it was" in capsys.readouterr().err


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write everywhere")
def test_a_read_only_folder_and_file(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file.parent.chmod(0o500)
    try:
        assert jot(file, "brake pedal firm") == 2
    finally:
        file.parent.chmod(0o700)
    file.chmod(0o400)
    assert jot(file, "brake pedal firm") == 2
    assert file.read_bytes() == TEXT
    assert capsys.readouterr().err.count("Permission denied; the file is as it was") == 2


def test_an_owner_or_a_folder_that_cannot_be_settled_is_no_reason_to_stop(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    failing("chown", errno.EPERM, monkeypatch)
    assert jot(file, "brake pedal firm") == 0


def test_a_file_changed_by_an_editor_meanwhile_is_left_alone(file: Path) -> None:
    with save.held(str(file)) as held:
        file.write_bytes(TEXT + b"# typed meanwhile\n")
        with pytest.raises(CannotJudge, match="changed by another program meanwhile"):
            held.replace(TEXT + b"# new\n")
    assert file.read_bytes() == TEXT + b"# typed meanwhile\n"
    assert [p.name for p in file.parent.iterdir()] == ["car.yaml"]


def test_a_system_without_locks_still_compares(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(save, "fcntl", None)
    assert jot(file, "brake pedal firm") == 0
    with save.held(str(file)) as held:
        assert jot(file, "hood latch both hold") == 0
        with pytest.raises(CannotJudge, match="changed by another program meanwhile"):
            held.replace(TEXT)


@pytest.mark.skipif(save.fcntl is None, reason="no locks on this system")
def test_a_file_that_another_command_keeps_is_given_up_on(
    file: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(save, "_PATIENCE", 0)
    with save.held(str(file)):
        assert jot(file, "brake pedal firm") == 2
    assert "another command has had" in capsys.readouterr().err
    assert file.read_bytes() == TEXT
    assert jot(file, "brake pedal firm") == 0


@pytest.mark.parametrize("what", ["missing", "folder", "pipe"])
def test_what_is_no_file(tmp_path: Path, capsys: pytest.CaptureFixture[str], what: str) -> None:
    path = tmp_path / "thing"
    if what == "folder":
        path.mkdir()
    if what == "pipe":
        if not hasattr(os, "mkfifo"):
            pytest.skip("no pipes on this system")
        os.mkfifo(path)
    assert jot(path, "brake pedal firm") == 2
    says = {"missing": "there is no such file", "folder": "this is a directory", "pipe": "device, pipe"}
    assert says[what] in " ".join(capsys.readouterr().err.split())


def test_a_new_file_is_never_written_over(tmp_path: Path) -> None:
    path = tmp_path / "new.yaml"
    save.create(path, "one\n")
    with pytest.raises(CannotJudge, match="is there already"):
        save.create(path, "two\n")
    assert path.read_text() == "one\n"


def test_a_new_file_that_cannot_be_written_whole_is_not_left(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    failing("write", errno.ENOSPC, monkeypatch)
    with pytest.raises(CannotJudge, match="No space left"):
        save.create(tmp_path / "new.yaml", "one\n")
    assert list(tmp_path.iterdir()) == []
    with pytest.raises(CannotJudge, match="No such file"):
        save.create(tmp_path / "no" / "new.yaml", "one\n")
