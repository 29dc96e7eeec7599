"""Measures what must be fast against a floor measured in the same run, and prints the ratios.

    python tests/bench/bench.py [NAME ...]      names: as in BENCHES, and size

Nothing here passes or fails: the machine's speed drifts, ratios of medians say more. The
targets are written beside each figure.
"""

from __future__ import annotations

import asyncio
import gc
import hashlib
import os
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

sys.path[:0] = [str(Path(__file__).parents[2] / "tui"), str(Path(__file__).parents[1])]

from houses import big_job, many_rooms, with_photos  # noqa: E402
from photo_benches import PHOTO_BENCHES  # noqa: E402
from ratios import pairs, process, told  # noqa: E402

from siltline.job import Job, open_job  # noqa: E402
from siltline.record.derived import keep_facts  # noqa: E402

PATIENCE_S = 20.0  # a key that paints nothing is told, not waited for


def bench_help() -> None:
    """`siltline --help` against a bare click command's."""
    floor = (
        "import click\n@click.group()\ndef a(): 'Help.'\n@a.command()\ndef b(): 'Help.'\n"
        "a(['--help'])"
    )
    mine = "from siltline.cli import main; main(['--help'])"
    told("--help", *pairs(lambda: process(mine), lambda: process(floor)), "at most +20 ms")


# Ends the process at the first paint of a whole screen, so that its end is not measured.
ONCE = """
import os
from textual.app import App
from textual._compositor import LayoutUpdate
display = App._display
def painted(app, screen, renderable):
    display(app, screen, renderable)
    if isinstance(renderable, LayoutUpdate):
        os._exit(0)
App._display = painted
"""
EMPTY_APP = f"""{ONCE}
App().run(headless=True, size=(120, 40))
"""
JOB_APP = f"""
import gc
gc.disable()  # as screens.run does
{ONCE}
from pathlib import Path
from siltline.job import open_job
from siltline.screens.app import SiltlineApp
SiltlineApp(open_job(Path(PATH))).run(headless=True, size=(120, 40))
"""


WHOLE = "isinstance(renderable, LayoutUpdate)"
LISTED = "app.screen.steps.option_count > 0"  # the rows are there; only what changed is painted
TARGETS = {500: ("1.3", "2.5"), 2000: ("1.5", "2.5")}


def bench_paint() -> None:
    """From the start of the process to the paint of the step in hand, and of the list.

    Both against the first paint of an empty Textual app; the larger job holds 5,000 photos.
    """
    with tempfile.TemporaryDirectory() as scratch:
        for steps, (in_hand, listed) in TARGETS.items():
            path = big_job(Path(scratch), steps)
            if steps > 500:
                with_photos(path, 5000)
            code = JOB_APP.replace("PATH", repr(str(path)))
            for name, ours, target in (
                ("step in hand", code, in_hand),
                (
                    "list",
                    code.replace(WHOLE, LISTED),
                    listed,
                ),
            ):
                both = pairs(lambda ours=ours: process(ours), lambda: process(EMPTY_APP))  # type: ignore[misc]
                told(f"{name} painted, {steps} steps", *both, f"at most {target}")


def bench_drying() -> None:
    """The screen of 60 measuring points: painted, and with the day of each."""
    from siltline.screens.app import SiltlineApp  # noqa: PLC0415
    from support.crawl import many_points  # noqa: PLC0415

    with tempfile.TemporaryDirectory() as scratch:
        job = many_points(Path(scratch), 60)
        painted, whole = asyncio.run(_drying_screen(SiltlineApp(job), job))
        print(f"60 points painted in {painted * 1000:.0f} ms (300), all days in {whole * 1000:.0f}")  # noqa: T201
        job.close()


async def _drying_screen(app: Any, job: Job) -> tuple[float, float]:
    """Return how long the screen of points takes to be painted, and to have every day."""
    from siltline.screens.drying import DryingScreen  # noqa: PLC0415

    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause(0.3)
        painted = asyncio.Event()
        display = app._display

        def shown(screen: Any, renderable: Any) -> None:
            display(screen, renderable)
            if isinstance(screen, DryingScreen) and renderable is not None:
                painted.set()

        app._display = shown
        started = time.perf_counter()
        screen = DryingScreen(job)
        app.push_screen(screen)
        await asyncio.wait_for(painted.wait(), PATIENCE_S)
        first = time.perf_counter() - started
        while screen.dated < len(screen.points):  # noqa: ASYNC110 - what is measured tells nobody
            await asyncio.sleep(0.005)
        return first, time.perf_counter() - started


def bench_search() -> None:
    """A word typed into the search of 2,000 steps and 5,000 photos: found and listed."""
    from siltline.screens.entries import of_everything  # noqa: PLC0415
    from siltline.screens.listing import found  # noqa: PLC0415

    with tempfile.TemporaryDirectory() as scratch:
        path = big_job(Path(scratch), 2000)
        with_photos(path, 5000)
        job = open_job(path)
        try:
            entries = of_everything(job)
            texts = [entry.text for entry in entries]
            print(f"({len(entries)} entries)")  # noqa: T201
            both = pairs(
                lambda: _lasts(lambda: found(entries, "outlet wetted 77"), 1),
                lambda: _lasts(lambda: [t for t in texts if "outlet" in t], 1),
            )
            told("search, against one substring", *both, "at most 100 ms")
        finally:
            job.close()


async def _presses(
    app: Any,
    count: int,
    meanwhile: Callable[[Any], object] = lambda _: None,
    seen: Callable[[Any], object] = lambda app: app.screen.steps.highlighted,
) -> list[float]:
    """Press a key that changes the screen; wait each time until that is painted.

    Args:
        app: the app.
        count: how often.
        meanwhile: begins something that goes on while keys are pressed.
        seen: returns what a key changes.
    """
    from textual import events  # noqa: PLC0415

    found = []
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause(0.5)
        painted = asyncio.Event()
        display = app._display

        def shown(screen: Any, renderable: Any) -> None:
            display(screen, renderable)
            if renderable is not None and seen(app) != before:  # not what goes on meanwhile
                painted.set()

        before = seen(app)
        app._display = shown
        meanwhile(app)
        for _ in range(count):
            before = seen(app)
            painted.clear()
            started = time.perf_counter()
            app.post_message(events.Key("down", None))
            await asyncio.wait_for(painted.wait(), PATIENCE_S)
            found.append(time.perf_counter() - started)
            await pilot.pause(0.05)
    return found


def bench_key() -> None:
    """From a key to the screen painted again, against an app with one line that changes."""
    from textual.app import App  # noqa: PLC0415
    from textual.widgets import Static  # noqa: PLC0415

    from siltline.screens.app import SiltlineApp  # noqa: PLC0415

    class Floor(App[None]):
        def compose(self) -> Any:
            yield Static("0")

        def on_key(self) -> None:
            line = self.query_one(Static)
            line.update(str(time.monotonic()))

    with tempfile.TemporaryDirectory() as scratch:
        job = open_job(big_job(Path(scratch), 500))
        ours = asyncio.run(_presses(SiltlineApp(job), 60))
        floor = asyncio.run(
            _presses(Floor(), 60, seen=lambda app: str(app.query_one(Static).content))
        )
        job.close()
    told("a key, 500 steps", ours[5:], floor[5:], "at most +50 ms")


def bench_incoming() -> None:
    """A key while 500 photos of 4 MB come in and are drawn, against a key with nothing else."""
    from photo_benches import card  # noqa: PLC0415

    from siltline.screens.app import SiltlineApp  # noqa: PLC0415
    from siltline.screens.deeds.adding import take_in  # noqa: PLC0415

    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        (folder / "card").mkdir()
        card(folder / "card", 500)
        path = big_job(folder, 500)

        def come(app: Any) -> None:
            desk, typed = app.screen, str(folder / "card")
            desk.run_worker(desk.work_on(lambda job, follow: take_in(job, typed, None, follow)))

        gc.disable()  # as screens.run does; the app enables it again
        job = open_job(path)
        alone = asyncio.run(_presses(SiltlineApp(job), 60))
        gc.disable()
        incoming = asyncio.run(_presses(SiltlineApp(job), 120, come))
        (photos,) = job.record.connection.execute("SELECT count(*) FROM photo").fetchone()
        job.close()
    print(f"({photos} photos came in meanwhile)")  # noqa: T201
    told("a key while photos come in", incoming[5:], alone[5:], "at most +50 ms")
    print(f"(the slowest of them {max(incoming[5:]) * 1000:.0f} ms)")  # noqa: T201


def filled(folder: Path, megabytes: int) -> Path:
    """Return a job of 500 steps with 1,250 photos, that many megabytes in all."""
    path = folder / f"filled-{megabytes}.siltline"
    path.write_bytes(big_job(folder, 500).read_bytes())
    (folder / "big-500.siltline").unlink()
    job = open_job(path)
    facts = {"format": "JPEG", "stamp": "2026:03:12 08:00:00", "notes": []}
    for number in range(1250):
        data = os.urandom(megabytes * 1_000_000 // 1250)
        digest = hashlib.sha256(data).hexdigest()
        with job.acting(changes_states=False):
            job.record.keep_photo(digest, data)
            keep_facts(job.record.connection, digest, "1", facts)
            body = {"sha256": digest, "name": f"IMG_{number:04d}.JPG", "bytes": len(data)}
            job.append("photo", body, None)
    job.close()
    return path


def _opened(path: Path) -> float:
    started = time.perf_counter()
    open_job(path).close()
    return time.perf_counter() - started


def _acted(path: Path, act: Callable[[Job], object]) -> float:
    job = open_job(path)
    started = time.perf_counter()
    act(job)
    elapsed = time.perf_counter() - started
    job.close()
    return elapsed


def bench_size() -> None:
    """Open, tick and review with 1,250 photos of 5 GB, against 50 MB: as fast, within noise."""
    from siltline.job.acts import tick  # noqa: PLC0415
    from siltline.job.close_out import review  # noqa: PLC0415

    with tempfile.TemporaryDirectory() as scratch:
        small, large = filled(Path(scratch), 50), filled(Path(scratch), 5000)
        told(
            "open, 5 GB of photos", *pairs(lambda: _opened(large), lambda: _opened(small)), "noise"
        )
        acts: dict[str, Callable[[Job], object]] = {
            "tick, 5 GB of photos": lambda job: tick(job, "gear-on/house", by="Ada"),
            "review, 5 GB of photos": review,
        }
        for name, act in acts.items():
            ours = pairs(lambda act=act: _acted(large, act), lambda act=act: _acted(small, act))  # type: ignore[misc]
            told(name, *ours, "noise")


def bench_lay() -> None:
    """60 rooms and 2,000 steps laid, beside the time of reading the YAML alone."""
    from siltline import resources  # noqa: PLC0415
    from siltline.rules import files  # noqa: PLC0415
    from siltline.rules.house import read_house  # noqa: PLC0415
    from siltline.rules.lay import lay  # noqa: PLC0415
    from siltline.rules.yamltext import load  # noqa: PLC0415

    text = many_rooms()
    texts = files.checklist_texts(resources.folder("checklists") / "river-flood")
    checklist = files.checklist_from(texts)
    source = load(text, "house.yaml")
    house = read_house(source)
    print(f"({len(lay(checklist, house, source).steps)} steps)")  # noqa: T201

    def timed(act: Callable[[], object]) -> float:
        start = time.perf_counter()
        act()
        return time.perf_counter() - start

    ours, yaml = pairs(
        lambda: timed(lambda: lay(checklist, read_house(source), source)),
        lambda: timed(lambda: load(text, "house.yaml")),
    )
    told("2,000 steps laid, beside reading the YAML", ours, yaml, "lay under 0.5 s")


def _lasts(act: Callable[[], object], times: int) -> float:
    started = time.perf_counter()
    for _ in range(times):
        act()
    return time.perf_counter() - started


def bench_science() -> None:
    """A thousand states of air with their doubt against as many of ten exponentials; forecasts."""
    import math  # noqa: PLC0415

    from siltline.science.air import SEA_LEVEL, from_humidity  # noqa: PLC0415
    from siltline.science.chart import chart  # noqa: PLC0415
    from siltline.science.doubt import Tolerance, doubt  # noqa: PLC0415
    from siltline.science.drying import Reading  # noqa: PLC0415
    from siltline.science.forecast import forecast  # noqa: PLC0415

    def air() -> object:
        return from_humidity(25, 0.6), doubt(from_humidity, 25, 0.6, SEA_LEVEL, Tolerance())

    def exponentials(count: int) -> Callable[[], object]:
        return lambda: [math.exp(-0.01 * n) for n in range(count)]

    both = pairs(lambda: _lasts(air, 1000), lambda: _lasts(exponentials(10), 1000))
    told("1,000 states of air with doubt", *both, "at most 150 ms")
    for count in (6, 20):
        readings = [Reading(d, 12 + 14 * math.exp(-d / 5) + 0.3 * (-1) ** d) for d in range(count)]
        both = pairs(
            lambda readings=readings: _lasts(lambda: forecast(readings, 11, 15), 10),  # type: ignore[misc]
            lambda: _lasts(exponentials(10_000), 10),
        )
        told(f"10 forecasts of {count} readings", *both, "at most 100 ms")
        found = forecast(readings, 11, 15).fit
        both = pairs(
            lambda readings=readings, found=found: _lasts(  # type: ignore[misc]
                lambda: chart(readings, 15, 11, found, 30), 10
            ),
            lambda: _lasts(exponentials(10_000), 10),
        )
        told(f"10 charts of {count} readings", *both, "at most 300 ms")


def bench_offer() -> None:
    """Photos ranked for one step: 500 steps, 5,000 photos of two cameras, 300 of them at steps.

    The first asks for everything anew, as a key does; the floor sorts as many photos by time.
    """
    from datetime import UTC, datetime, timedelta  # noqa: PLC0415

    from siltline.job.acts import attach  # noqa: PLC0415
    from siltline.judge.offer_words import because  # noqa: PLC0415
    from siltline.judge.offering import Offering  # noqa: PLC0415
    from siltline.judge.photo_findings import Seen  # noqa: PLC0415
    from siltline.photos.stamps import Placed  # noqa: PLC0415

    with tempfile.TemporaryDirectory() as scratch:
        path = big_job(Path(scratch), 500)
        with_photos(path, 5000)
        job = open_job(path)
        try:
            start = datetime(2026, 3, 12, 13, tzinfo=UTC)
            seen = {}
            for number, photo in enumerate(job.board.ledger.photos):
                at = start + timedelta(seconds=20 * number)
                placed = Placed("unchecked", "-05:00", "site", at, at + timedelta(seconds=1))
                seen[photo] = Seen(placed, f"Camera {number % 2}")
            photos, steps = list(seen), list(job.board.steps)
            for number in range(300):
                attach(job, steps[number], photos[number * 7])
            step = steps[310]
            last = datetime(2026, 3, 13, 20, tzinfo=UTC)

            def anew() -> None:
                Offering(job.board, seen, last).photos(step)

            found = Offering(job.board, seen, last)

            def of_one_photo() -> None:
                found.steps(photos[-1])

            def reasons() -> None:
                for offer in offers[:200]:
                    because(found, offer)

            offers = found.photos(step)
            order = [(seen[photo].placed.earliest, photo) for photo in photos]
            ours: dict[str, Callable[[], object]] = {
                "photos for a step, anew": anew,
                "photos for one more step": lambda: found.photos(step),
                "steps for a photo": of_one_photo,
                "200 reasons": reasons,
            }
            for name, act in ours.items():
                both = pairs(
                    lambda act=act: _lasts(act, 1),  # type: ignore[misc]
                    lambda: _lasts(lambda: sorted(order), 1),
                )
                told(f"{name}, 5,000 photos", *both, "at most 100 ms")
        finally:
            job.close()


BENCHES = {
    "help": bench_help,
    "lay": bench_lay,
    "paint": bench_paint,
    "drying": bench_drying,
    "key": bench_key,
    "incoming": bench_incoming,
    **PHOTO_BENCHES,
    "search": bench_search,
    "offer": bench_offer,
    "science": bench_science,
}
LONG = {"size": bench_size}  # writes 5 GB: only when it is named


if __name__ == "__main__":
    for wanted in sys.argv[1:] or BENCHES:
        (BENCHES | LONG)[wanted]()
