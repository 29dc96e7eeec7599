"""Made the frozen jobs: small ones with every kind of event. Run once a file version.

python tests/data/freeze.py NAME        (a name with "wide" in it: every word of the rules)
"""

from __future__ import annotations

import json
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parents[1] / "tui"), str(HERE.parent)]

from siltline.job import Job  # noqa: E402
from siltline.job.acts import attach, detach, leave_out, tick, undo, untick  # noqa: E402
from siltline.job.add import add  # noqa: E402
from siltline.job.begin import begin  # noqa: E402
from siltline.job.close_out import hand_off  # noqa: E402
from siltline.job.laying import correct, lay_checklist  # noqa: E402
from siltline.job.withholding import withhold  # noqa: E402
from support.house import HOUSE  # noqa: E402
from support.pictures import photo  # noqa: E402
from support.ticking import TickingClock  # noqa: E402
from support.wide import ONE, write_wide  # noqa: E402
from test_frozen import told  # noqa: E402

LICENCE = "Electrician X-1 (invented)"
ROLES = {"gear-on/house": "crew", "power-off/house": "power-off", "prove-dead/circuit-4": "tester"}


def kept(job: Job, name: str) -> None:
    """Write what is true of a job beside it."""
    text = json.dumps(told(job), indent=1, sort_keys=True)
    (HERE / name).with_suffix(".json").write_text(text + "\n", encoding="utf-8")
    job.close()


def wide(name: str) -> None:
    """Write a job with every word of the rule language, corrected and laid again."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        checklist, sheet = write_wide(folder)
        job = begin(
            sheet, HERE / name, checklist=str(checklist), clock=TickingClock(),
            device="00000000000000ab", by="Ada",
        )  # fmt: skip
        add(job, [photo(folder, f"P{number}.JPG", number) for number in range(3)], by="Ada")
        attach(job, "carpet/den", "P0.JPG", role="before", spot="north corner")
        attach(job, "carpet/den", "P1.JPG", role="after", spot="north corner")
        tick(job, "carpet/den", by="Ada", values=["120 ft2", "length=31 ft", "cut height=24 in"])
        leave_out(job, "carpet-back/den", by="Ada", because="tiles come", decided_by="owner")
        leave_out(job, "cable/low", by="Ben", because="tested", licence=LICENCE)
        attach(job, "sanitise/den", "P2.JPG", role="label")
        tick(job, "sanitise/den", by="Ada", values=["12 min"], registration="1234-56")
        tick(job, "read/den", by="Ada", values=["22 %"])
        correct(job, ["electrical.box.name=hidden box", "electrical.box.kind=outlet",
                      "electrical.box.room=den", "electrical.box.height=10 in"],
                by="Ada", take=True)  # fmt: skip
        tick(job, "cable/box", by="Ada", way="replace")
        changed = ONE.replace("It was wet.", "It was in the water.")
        (checklist / "one.yaml").write_text(changed, encoding="utf-8")
        lay_checklist(job, str(checklist), by="Ada", take=True)
        hand_off(job, giver="Ada", taker="Ben")
        kept(job, name)


def main(name: str) -> None:
    """Write the job and what is true of it."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        sheet = folder / "house.yaml"
        sheet.write_text(HOUSE, encoding="utf-8")
        job = begin(sheet, HERE / name, clock=TickingClock(), device="00000000000000aa", by="Ada")
        for number, (step, role) in enumerate(ROLES.items()):
            path = photo(folder, f"P{number}.JPG", number)
            add(job, [path], by="Ada")
            attach(job, step, path.name, role=role)
            tick(job, step, by="Ada", licence=LICENCE, note="n\u00f6ted \u2713")
        tick(job, "outlet-replaced/hidden-outlet", by="Ada", values=["50 in"])
        leave_out(job, "weep-holes-open/north", by="Ben", because="wall comes down")
        untick(job, "weep-holes-open/north")
        undo(job)
        attach(job, "room-as-found/kitchen", "P0.JPG")
        detach(job, "room-as-found/kitchen", "P0.JPG")
        tick(job, "room-as-found/kitchen", by="Ada")
        add(job, [photo(folder, "P9.JPG", 9)], by="Ada")
        withhold(job, "P9.JPG", because="a stranger's face", by="Ada")
        hand_off(job, giver="Ada", taker="Ben")
        kept(job, name)


if __name__ == "__main__":
    (wide if "wide" in sys.argv[1] else main)(sys.argv[1])
