"""Jobs of many steps, rooms and photos, to measure with."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path

from siltline.job import open_job
from siltline.job.begin import begin

ROOMS, CIRCUITS = 8, 20
OTHERS = 122  # steps of such a house without its outlets


def big_house(steps: int) -> str:
    """Return a house sheet that lays about that many steps: a wetted outlet and its cable each."""
    outlets = "\n".join(
        f"  o{n}: {{name: outlet {n}, kind: outlet, room: r{n % ROOMS}, height: 14 in, "
        f"circuit: c{n % CIRCUITS}, cable: nm, cable-runs: wall}}"
        for n in range((steps - OTHERS) // 2)
    )
    rooms = "\n".join(
        f"  r{n}: {{name: Room {n}, waterline: 30 in, highest-wet-reading: 40 in, "
        "floor: ceramic-tile, level: 0 in, from-above: false}"
        for n in range(ROOMS)
    )
    return (
        "house: Big\nfoundation: slab\nloss: {source: river}\nwalls: none\n"
        f"rooms:\n{rooms}\nelectrical:\n{outlets}\n"
    )


def big_job(folder: Path, steps: int = 500) -> Path:
    """Begin a job of about that many steps; return its path."""
    sheet = folder / "big.yaml"
    sheet.write_text(big_house(steps), encoding="utf-8")
    job = begin(sheet, folder / f"big-{steps}")
    print(f"({len(job.board.steps)} steps)")  # noqa: T201
    job.close()
    return job.record.path


def with_photos(path: Path, count: int) -> None:
    """Take tiny photos into a job, as the record keeps them, without a reader for each."""
    job = open_job(path)
    try:
        with job.acting(changes_states=False):
            for number in range(count):
                data = f"photo {number}".encode()
                digest = sha256(data).hexdigest()
                job.record.keep_photo(digest, data)
                body = {"sha256": digest, "name": f"P{number:05}.JPG", "bytes": len(data)}
                job.append("photo", body, None)
    finally:
        job.close()


def many_rooms() -> str:
    """Return a house sheet of 60 rooms that lays 2,000 steps of the checklist that ships."""
    rooms, walls, parts = [], [], []
    for n in range(60):
        rooms.append(
            f"  r{n}: {{name: Room {n}, waterline: 30 in, silt-line: 28 in, "
            f"highest-wet-reading: 40 in, length: 14 ft, width: 12 ft, floor: carpet}}"
        )
        walls += [
            f"  w{n}-{k}: {{name: wall {k} of room {n}, room: r{n}, outer: true, "
            f"cladding: brick-veneer}}"
            for k in range(4)
        ]
        parts += [
            f"  p{n}-{k}: {{name: outlet {k} of room {n}, kind: outlet, room: r{n}, "
            f"height: {12 + k} in, circuit: c{n % 30}}}"
            for k in range(27)
        ]
    groups = {"rooms": rooms, "walls": walls, "electrical": parts}
    listed = "\n".join(f"{name}:\n" + "\n".join(found) for name, found in groups.items())
    return f"house: Many\nfoundation: crawl-space\nloss: {{source: river}}\n{listed}\n"
