"""Coverage-guided fuzzing: `python -m tests.fuzz.run TARGET SECONDS` (needs atheris, which the tests do not).

Without TARGET every target gets an equal share. Ends at the first input that breaks a target and writes it
to tests/fuzz/found/, from where tests/fuzz/test_fuzz.py runs it for good.
"""

from __future__ import annotations

import hashlib
import subprocess
import sys
import tempfile
from pathlib import Path

TARGETS = ("reader", "quantity", "document", "rules", "jot")  # named here: importing them comes later
FOUND = Path(__file__).with_name("found")


def one(name: str, seconds: int) -> None:
    """Fuzz one target in this process; libFuzzer ends it."""
    import atheris

    with atheris.instrument_imports(include=["precheck"]):
        from tests.fuzz import targets

    def test(data: bytes) -> None:
        try:
            targets.in_time(targets.TARGETS[name], data)
        except BaseException:
            FOUND.mkdir(exist_ok=True)
            digest = hashlib.sha256(data).hexdigest()[:12]
            (FOUND / f"{name}-{digest}").write_bytes(data)
            raise

    with tempfile.TemporaryDirectory() as corpus:
        for number, seed in enumerate(targets.seeds(name)):
            (Path(corpus) / f"seed-{number}").write_bytes(seed)
        words = Path(corpus).parent / f"{Path(corpus).name}.dict"
        words.write_text(_dictionary(name))
        length = {"quantity": 80, "jot": 400}.get(name, 6000)
        flags = [f"-max_total_time={seconds}", f"-max_len={length}", f"-dict={words}", "-print_final_stats=1"]
        atheris.Setup([sys.argv[0], *flags, "-timeout=600", "-rss_limit_mb=2000", corpus], test)
        try:
            atheris.Fuzz()
        finally:
            words.unlink(missing_ok=True)


def _dictionary(name: str) -> str:
    from tests.fuzz import targets

    book = targets.book()
    names = [*list(book.points)[:150], *book.works, "at-least", "limit", "steps", "same-as", "nothing-found"]
    names += [
        "psi",
        "2/32 in",
        "unknown",
        "told",
        "sure",
        "&a",
        "*a",
        "<<",
        "!!",
        "...",
        "---",
        "\\xef\\xbb\\xbf",
    ]
    return "".join(f'"{word}"\n' for word in names if '"' not in word)


def main() -> int:
    if len(sys.argv) > 1 and sys.argv[1] in TARGETS:
        one(sys.argv[1], int(sys.argv[2]))
        return 0
    share = int(sys.argv[1]) // len(TARGETS) if len(sys.argv) > 1 else 60
    worst = 0
    for name in TARGETS:
        print(f"== {name}, {share} s", flush=True)
        worst |= subprocess.run(
            [sys.executable, "-m", "tests.fuzz.run", name, str(share)], check=False
        ).returncode
    return worst


if __name__ == "__main__":
    sys.exit(main())
