"""A practice job: a copy of the sample house to play on, marked so wherever it is shown."""

from __future__ import annotations

import shutil
from pathlib import Path

from siltline import config, resources
from siltline.errors import Unreadable, why
from siltline.job.add import add
from siltline.job.begin import begin
from siltline.rules.files import text_of
from siltline.rules.sheet.writing import put
from siltline.rules.yamltext import load
from siltline.sentences import say
from siltline.whole import whole_folder

FOLDER = "practice"
JOB_NAME = "practice.siltline"


def practice_job(*, anew: bool = False) -> Path:
    """Return the practice job, laid out where it is not there.

    Its house sheet says that it is practice, so that its screens, its report and whatever else
    is made of it say so too, wherever the file goes.

    Args:
        anew: throw away what was played before.

    Raises:
        Unreadable: the settings folder cannot be written to.
    """
    folder = config.settings_folder() / FOLDER
    if (folder / JOB_NAME).is_file() and not anew:
        return folder / JOB_NAME
    try:
        if folder.exists():
            shutil.rmtree(folder)
        with whole_folder(folder) as part:
            _lay(part)
    except OSError as fault:
        raise Unreadable(say("practice.cannot", folder=folder, fault=why(fault))) from fault
    return folder / JOB_NAME


def _lay(part: Path) -> None:
    sample = resources.folder("sample_job")
    sheet = text_of(sample / "house.yaml")
    house = load(sheet, "house.yaml").data["house"]
    named = put(sheet, {("house",): say("practice.house", house=house)})
    (part / "house.yaml").write_text(named, encoding="utf-8", newline="\n")
    shutil.copytree(sample / "photos", part / "photos")
    job = begin(part / "house.yaml", part / JOB_NAME)
    try:
        add(job, [part / "photos"])
    finally:
        job.close()
