"""Made the frozen jobs: small ones with every kind of event. Run once a file version.

python tests/data/freeze.py NAME
"""

from __future__ import annotations

import json
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parents[1] / "tui"), str(HERE.parent)]

from siltline.job.acts import attach, detach, leave_out, tick, undo, untick  # noqa: E402
from siltline.job.add import add  # noqa: E402
from siltline.job.begin import begin  # noqa: E402
from siltline.job.close_out import hand_off  # noqa: E402
from siltline.job.withholding import withhold  # noqa: E402
from support.house import HOUSE  # noqa: E402
from support.pictures import photo  # noqa: E402
from support.ticking import TickingClock  # noqa: E402
from test_frozen import told  # noqa: E402

LICENCE = "Electrician X-1 (invented)"
ROLES = {"gear-on/house": "crew", "power-off/house": "power-off", "prove-dead/circuit-4": "tester"}


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
        text = json.dumps(told(job), indent=1, sort_keys=True)
        (HERE / name).with_suffix(".json").write_text(text + "\n", encoding="utf-8")
        job.close()


if __name__ == "__main__":
    main(sys.argv[1])
