"""Starts siltline, or its tests, on a machine that has nothing but Python 3.11 or newer.

    python3 run.py             the tour: an invented sample job, replayed and opened
    python3 run.py test        the test suite; `test --full` adds the long campaigns
    python3 run.py ANYTHING    siltline ANYTHING, for example: python3 run.py steps JOB

On Windows: `py run.py`. The first run makes `.venv` beside this file from a lock in which every
package is pinned by its hash. Where there is no network, put the packages into a folder
`wheelhouse` beside this file (`pip download --require-hashes -r requirements.lock -d wheelhouse`).
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
VENV = HERE / ".venv"
STAMP = VENV / "siltline-lock.txt"
WHEELHOUSE = HERE / "wheelhouse"
LOCKS = {False: HERE / "requirements.lock", True: HERE / "requirements-test.lock"}
OLDEST = (3, 11)
WORKERS = "2"


def say(text: str) -> None:
    """Tell the person what is going on, on stderr."""
    print(text, file=sys.stderr, flush=True)


def python() -> Path:
    """Return the Python of the virtual environment."""
    windows = VENV / "Scripts" / "python.exe"
    return windows if os.name == "nt" else VENV / "bin" / "python"


def wanted(with_tests: bool) -> str:
    """Return what the stamp must say for the environment to be the right one."""
    lock = hashlib.sha256(LOCKS[with_tests].read_bytes()).hexdigest()
    project = hashlib.sha256((HERE / "pyproject.toml").read_bytes()).hexdigest()
    return f"{sys.version_info[:2]} {HERE} {project} {lock}"


def is_ready(with_tests: bool) -> bool:
    """Tell whether the environment is there and holds what is needed."""
    if not python().exists() or not STAMP.exists():
        return False
    stamps = STAMP.read_text(encoding="utf-8").splitlines()
    return wanted(True) in stamps or (not with_tests and wanted(False) in stamps)


def pip(*args: str) -> bool:
    """Run pip inside the environment; tell whether it worked."""
    command = [str(python()), "-m", "pip", "--disable-pip-version-check", "-qq", *args]
    return subprocess.run(command, check=False, cwd=HERE).returncode == 0


def install(with_tests: bool) -> bool:
    """Install the locked packages, from the wheelhouse if there is one, then siltline itself."""
    lock = ("install", "--require-hashes", "--no-deps", "-r", str(LOCKS[with_tests]))
    offline = ("--no-index", "--find-links", str(WHEELHOUSE))
    done = WHEELHOUSE.is_dir() and pip(*lock, *offline)
    done = done or pip(*lock)
    return done and pip("install", "--no-index", "--no-build-isolation", "--no-deps", "-e", ".")


def make_ready(with_tests: bool) -> None:
    """Make the environment, or mend it where the lock changed."""
    import venv  # noqa: PLC0415 - only on a first run

    say("Setting up (first run, or the lock changed): this takes some seconds ...")
    if not python().exists():
        shutil.rmtree(VENV, ignore_errors=True)
        try:
            venv.create(VENV, with_pip=True)
        except (subprocess.CalledProcessError, OSError) as fault:
            shutil.rmtree(VENV, ignore_errors=True)
            hint = "On Debian: apt install python3-venv"
            sys.exit(f"No virtual environment could be made ({fault}). {hint}")
    STAMP.unlink(missing_ok=True)
    if not install(with_tests):
        sys.exit(
            "The packages could not be installed; nothing of yours was changed. Check the network, "
            f"or put the packages into {WHEELHOUSE}"
        )
    STAMP.write_text(wanted(with_tests) + "\n", encoding="utf-8")


def test_command(args: list[str]) -> list[str]:
    """Return the command that runs the tests, on both cores."""
    full = "--full" in args
    rest = [arg for arg in args if arg != "--full"]
    select = [] if full else ["-m", "not full"]
    return [str(python()), "-m", "pytest", "-n", WORKERS, *select, *rest]


def main() -> int:
    """Make ready and run what was asked for."""
    if sys.version_info < OLDEST:
        found = ".".join(map(str, sys.version_info[:2]))
        sys.exit(f"siltline needs Python 3.11 or newer; this is {found}.")
    args = sys.argv[1:] or ["tour"]
    with_tests = args[0] == "test"
    if not is_ready(with_tests):
        make_ready(with_tests)
    product = [str(python()), "-m", "siltline", *args]
    command = test_command(args[1:]) if with_tests else product
    caller = "py" if os.name == "nt" else "python3"
    env = {**os.environ, "SILTLINE_COMMAND": f"{caller} {sys.argv[0]}"}
    where = HERE if with_tests else None
    try:
        return subprocess.run(command, check=False, cwd=where, env=env).returncode
    except KeyboardInterrupt:
        return 130


if __name__ == "__main__":
    sys.exit(main())
