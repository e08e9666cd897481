"""Files that cannot be read are Problems at 1:1; nothing hangs, nothing large is loaded (our own choice)."""

from __future__ import annotations

import os

import pytest

from precheck.model.problem import Mark
from precheck.read.chars import MAX_BYTES
from precheck.read.files import read_file


def code(path, name="x.yaml"):
    source, problems = read_file(path, name)
    assert source is None
    (problem,) = problems
    assert (problem.file, problem.mark) == (name, Mark(1, 1))
    return problem.code


def test_reads_a_file(tmp_path):
    path = tmp_path / "a.yaml"
    path.write_bytes(b"a: 1\n")
    source, problems = read_file(path)
    assert problems == ()
    assert source.name == str(path)
    assert read_file(str(path), "given")[0].name == "given"


def test_what_is_no_file(tmp_path):
    assert code(tmp_path / "none.yaml") == "no-such-file"
    assert code(tmp_path) == "is-a-directory"
    assert code(tmp_path / "a.yaml" / "b") == "no-such-file"
    assert code("a\0b") == "not-readable"
    assert code("x" * 5000) == "not-readable"
    assert code("a\ud800") == "not-readable"


def test_size(tmp_path):
    path = tmp_path / "big.yaml"
    with path.open("wb") as file:
        file.truncate(50 * MAX_BYTES)  # sparse
    assert code(path) == "too-large"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes here")
def test_pipes_and_devices(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    assert code(tmp_path / "pipe") == "not-a-file"
    assert code("/dev/zero") == "not-a-file"
    assert code("/dev/null") == "not-a-file"


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read everything")
def test_permission(tmp_path):
    path = tmp_path / "a.yaml"
    path.write_bytes(b"a: 1\n")
    path.chmod(0)
    assert code(path) == "not-readable"


def test_a_link_in_a_circle(tmp_path):
    (tmp_path / "a").symlink_to(tmp_path / "a")
    assert code(tmp_path / "a") == "not-readable"
