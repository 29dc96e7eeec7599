"""A wheel built here, installed into an empty environment, runs the tour and holds its data."""

from __future__ import annotations

import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)],
        cwd=ROOT,
        check=True,
        capture_output=True,
    )
    (built,) = folder.glob("*.whl")
    return built


def test_the_wheel_holds_the_program_its_data_and_nothing_else(wheel: Path) -> None:
    names = zipfile.ZipFile(wheel).namelist()
    tops = {name.split("/")[0] for name in names}
    assert tops == {"siltline", f"siltline-{wheel.name.split('-')[1]}.dist-info"}
    for wanted in (
        "siltline/record/schema.sql",
        "siltline/claim/report.typ",
        "siltline/screens/siltline.tcss",
        "siltline/catalogue/en.json",
        "siltline/catalogue/house-template.yaml",
        "siltline/_data/checklists/river-flood/checklist.yaml",
        "siltline/_data/sample_job/house.yaml",
        "siltline/_data/sample_job/day.yaml",
        "siltline/_data/sample_job/photos/M2_0101.JPG",
    ):
        assert wanted in names
    assert [n for n in names if "__pycache__" in n or n.endswith((".pyc", ".siltline"))] == []


def test_installed_into_an_empty_environment_it_runs_the_tour(wheel: Path, tmp_path: Path) -> None:
    """Its dependencies are borrowed from the environment of the tests, siltline itself is not."""
    home = tmp_path / "env"
    venv.create(home, with_pip=False)
    bin_folder = home / ("Scripts" if sys.platform == "win32" else "bin")
    (site,) = home.rglob("site-packages")
    zipfile.ZipFile(wheel).extractall(site)
    borrowed = next(p for p in sys.path if p.endswith("site-packages"))
    (site / "borrowed.pth").write_text(borrowed + "\n", encoding="utf-8")
    python = bin_folder / ("python.exe" if sys.platform == "win32" else "python")

    where = subprocess.run(
        [python, "-c", "import siltline; print(siltline.__file__)"],
        capture_output=True, text=True, check=True, cwd=tmp_path,
    )  # fmt: skip
    assert Path(where.stdout.strip()).is_relative_to(home.resolve())
    ran = subprocess.run(
        [python, "-m", "siltline", "tour", "--into", "tour"],
        capture_output=True, text=True, check=False, cwd=tmp_path,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    assert (tmp_path / "tour" / "claim" / "report.pdf").stat().st_size > 100_000
    assert "The house at Heron Bend (invented)" in ran.stdout


@pytest.mark.full
def test_installed_with_its_locked_packages_by_pip_it_runs_the_tour(
    wheel: Path, tmp_path: Path
) -> None:
    """The whole way a person goes, from the registry; needs a network."""
    home = tmp_path / "env"
    venv.create(home, with_pip=True)
    python = home / ("Scripts/python.exe" if sys.platform == "win32" else "bin/python")
    pip = [python, "-m", "pip", "install", "-q", "--disable-pip-version-check"]
    lock = ["--require-hashes", "--no-deps", "-r", str(ROOT / "requirements.lock")]
    subprocess.run([*pip, *lock], check=True)
    subprocess.run([*pip, "--no-deps", str(wheel)], check=True)
    ran = subprocess.run(
        [python, "-m", "siltline", "tour", "--into", "tour"],
        capture_output=True, text=True, check=False, cwd=tmp_path,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
