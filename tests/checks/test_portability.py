"""Windows laptops are the common case: no POSIX-only call unguarded, no text without encoding."""

from __future__ import annotations

import ast
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FILES = sorted(
    [*(ROOT / "tui").rglob("*.py"), ROOT / "run.py", *(ROOT / "sample_job").rglob("*.py")]
)

# Calls that Windows lacks; `getattr(os, "O_NOFOLLOW", 0)` and the like are the way round.
POSIX_ONLY = {
    "os": {
        "fork", "forkpty", "getuid", "geteuid", "getgid", "setsid", "setuid", "chown", "mkfifo",
        "killpg", "getpgid", "uname", "nice", "wait", "pathconf", "sync", "O_NOFOLLOW",
        "O_NONBLOCK", "O_DIRECTORY", "O_CLOEXEC", "sysconf", "getloadavg", "posix_fadvise",
    },
    "signal": {"SIGKILL", "SIGHUP", "SIGUSR1", "SIGUSR2", "SIGALRM", "alarm", "pause"},
    "time": {"tzset", "clock_gettime"},
}  # fmt: skip
POSIX_MODULES = {
    "fcntl",
    "termios",
    "tty",
    "pty",
    "pwd",
    "grp",
    "resource",
    "posix",
    "curses",
    "readline",
}
TEXT_CALLS = {"open", "read_text", "write_text"}


def parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"), str(path))


def posix_only(tree: ast.Module) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            if node.attr in POSIX_ONLY.get(node.value.id, ()):
                yield f"line {node.lineno}: {node.value.id}.{node.attr}"
        elif isinstance(node, ast.Import):
            yield from (
                f"line {node.lineno}: {a.name}" for a in node.names if a.name in POSIX_MODULES
            )
        elif isinstance(node, ast.ImportFrom) and node.module in POSIX_MODULES:
            yield f"line {node.lineno}: {node.module}"


def binary(call: ast.Call, place: int) -> bool:
    modes = [a.value for a in call.args[place:] if isinstance(a, ast.Constant)]
    modes += [
        k.value.value
        for k in call.keywords
        if k.arg == "mode" and isinstance(k.value, ast.Constant)
    ]
    return any(isinstance(mode, str) and "b" in mode for mode in modes)


def no_encoding(tree: ast.Module) -> Iterator[str]:
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        name = (
            node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        )
        owner = getattr(getattr(node.func, "value", None), "id", "")
        if name not in TEXT_CALLS or owner in ("os", "Image"):
            continue
        if name == "open" and binary(node, 0):
            continue
        if not any(keyword.arg == "encoding" for keyword in node.keywords):
            yield f"line {node.lineno}: {name} without encoding"


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_nothing_here_needs_posix_or_guesses_an_encoding(path: Path) -> None:
    tree = parsed(path)
    assert [*posix_only(tree), *no_encoding(tree)] == []


def test_the_check_itself_finds_what_it_is_for() -> None:
    bad = ast.parse(
        "import os, fcntl, signal\nos.fork()\nopen('a')\np.read_text()\nsignal.SIGKILL\n"
        "open('a', 'rb')\nopen('a', encoding='utf-8')\n"
    )
    assert len([*posix_only(bad), *no_encoding(bad)]) == 5


def test_every_committed_name_is_one_that_ntfs_takes() -> None:
    listed = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=False
    ).stdout.decode()
    names = [name for name in listed.split("\0") if name]
    assert names or not (ROOT / ".git").exists()
    assert [n for n in names if set(n) & set('<>:"|?*\\') or n.endswith((".", " "))] == []
    assert len({name.casefold() for name in names}) == len(names)


def test_modules_stay_small() -> None:
    ours = (ROOT / "tui").rglob("*.py")
    long = {p.name: n for p in ours if (n := len(p.read_text(encoding="utf-8").splitlines())) > 400}
    assert long == {}
