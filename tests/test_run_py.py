"""`run.py` needs nothing but Python, says what is missing, and passes words and codes on."""

from __future__ import annotations

import ast
import importlib
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


@pytest.fixture
def run_py(monkeypatch: pytest.MonkeyPatch) -> object:
    monkeypatch.syspath_prepend(str(ROOT))
    monkeypatch.delitem(sys.modules, "run", raising=False)
    return importlib.import_module("run")


def test_it_imports_only_the_standard_library() -> None:
    tree = ast.parse((ROOT / "run.py").read_text(encoding="utf-8"))
    names = {
        (node.module if isinstance(node, ast.ImportFrom) else alias.name).split(".")[0]
        for node in ast.walk(tree)
        if isinstance(node, ast.Import | ast.ImportFrom)
        for alias in node.names
    }
    assert names <= set(sys.stdlib_module_names)


def test_an_old_python_can_read_it_and_is_told(
    run_py: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    ast.parse((ROOT / "run.py").read_text(encoding="utf-8"), feature_version=(3, 7))
    monkeypatch.setattr(sys, "version_info", (3, 9, 1))
    with pytest.raises(SystemExit, match=r"needs Python 3\.11 or newer; this is 3\.9"):
        run_py.main()  # type: ignore[attr-defined]


def test_the_environment_is_made_again_when_a_lock_changes(
    run_py: object, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("requirements.lock", "requirements-test.lock"):
        shutil.copy(ROOT / name, tmp_path)
    locks = {t: tmp_path / p.name for t, p in run_py.LOCKS.items()}  # type: ignore[attr-defined]
    monkeypatch.setattr(run_py, "LOCKS", locks)
    monkeypatch.setattr(run_py, "STAMP", tmp_path / "stamp")
    assert not run_py.is_ready(False)  # type: ignore[attr-defined]
    (tmp_path / "stamp").write_text(run_py.wanted(True), encoding="utf-8")  # type: ignore[attr-defined]
    assert run_py.is_ready(True) is run_py.is_ready(False) is run_py.python().exists()  # type: ignore[attr-defined]
    with locks[True].open("a", encoding="utf-8") as file:
        file.write("# changed\n")
    assert not run_py.is_ready(True)  # type: ignore[attr-defined]
    assert not run_py.is_ready(False)  # type: ignore[attr-defined]


@pytest.mark.parametrize("lock", ["requirements.lock", "requirements-test.lock"])
def test_every_package_of_a_lock_is_pinned_by_version_and_hash(lock: str) -> None:
    text = (ROOT / lock).read_text(encoding="utf-8").replace("\\\n", " ")
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    assert lines
    for line in lines:
        assert "==" in line.split(";")[0], line
        assert "--hash=sha256:" in line, line


def test_the_lock_holds_what_the_project_asks_for() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    locked = (ROOT / "requirements-test.lock").read_text(encoding="utf-8")
    asked = [*project["dependencies"], *project["optional-dependencies"]["test"]]
    for line in asked:
        name = line.split(">")[0].split("=")[0].split("<")[0].replace(".", "-").lower()
        assert f"\n{name}==" in f"\n{locked}", name


def test_words_and_exit_codes_are_passed_on() -> None:
    """Runs the product through run.py with the environment that runs these tests."""
    if not (ROOT / ".venv").exists():
        pytest.skip("no .venv beside run.py: the tests run from elsewhere")
    ran = subprocess.run(
        [sys.executable, "run.py", "steps", "no-such.siltline"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.returncode == 3
    assert "no-such.siltline" in ran.stderr
