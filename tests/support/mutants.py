"""Pictures with a fault in them: bytes flipped, blocks lost, lengths and counts that lie."""

from __future__ import annotations

import io
import random
import re
import struct
from collections.abc import Callable, Iterator

from PIL import Image

Fault = Callable[[bytearray, random.Random], None]

_TIFF_HEAD = re.compile(rb"II\*\0|MM\0\*")
_PNG_CHUNK = re.compile(rb"IHDR|PLTE|IDAT|eXIf|iTXt|tEXt|IEND")
_BOX = re.compile(rb"ftyp|meta|hdlr|pitm|iloc|iinf|infe|iref|iprp|ipco|ipma|ispe|hvcC|irot|mdat")
_LIES = (0, 1, 2, 3, 7, 0xFF, 0x7FFF, 0xFFFF, 0x7FFFFFFF, 0x80000000, 0xFFFFFFFE, 0xFFFFFFFF)


def _saved(image: Image.Image, kind: str, **how: object) -> bytes:
    written = io.BytesIO()
    image.save(written, kind, **how)
    return written.getvalue()


def _exif() -> Image.Exif:
    """Return EXIF with every kind of thing that is read: strings, numbers, a position, a note."""
    exif = Image.Exif()
    exif[0x010F], exif[0x0110], exif[0x0112], exif[0x0132] = "Invented", "T1", 6, "2026:03:12"
    inner = exif.get_ifd(0x8769)
    inner[0x9003], inner[0x9011], inner[0x9291] = "2026:03:12 07:30:00", "-05:00", "123"
    inner[0xA431], inner[0xA002], inner[0xA003] = "serial", 160, 120
    inner[0x927C] = b"Invented\0II*\0" + bytes(range(100))
    gps = exif.get_ifd(0x8825)
    gps[1], gps[2], gps[3], gps[4] = "N", (39.0, 21.0, 36.5), "W", (84.0, 18.0, 36.0)
    gps[7], gps[29] = (12.0, 30.0, 4.0), "2026:03:12"
    return exif


def invented() -> dict[str, bytes]:
    """Return a picture of every format that we can write, by its name: no HEIC among them."""
    noise = random.Random(160).randbytes(40 * 30 * 3)  # the same at every run, as all that follows
    image = Image.frombytes("RGB", (40, 30), noise).resize((160, 120))
    small = image.resize((80, 60))
    exif = _exif()
    return {
        "JPEG": _saved(image, "JPEG", exif=exif),
        "progressive": _saved(image, "JPEG", exif=exif, progressive=True),
        "MPO": _saved(image, "MPO", save_all=True, append_images=[small], exif=exif),
        "PNG": _saved(image, "PNG", exif=exif),
        "TIFF": _saved(image, "TIFF", exif=exif),
        "deflated TIFF": _saved(image, "TIFF", compression="tiff_adobe_deflate"),
        "TIFF of JPEG": _saved(image, "TIFF", compression="jpeg"),
    }


def _place(data: bytearray, chance: random.Random) -> int:
    """Return a place in the data, more often near its beginning, where lengths and counts stand."""
    end = min(len(data), 4096) if chance.random() < 0.6 else len(data)
    return chance.randrange(max(end, 1))


def flipped(data: bytearray, chance: random.Random) -> None:
    """Change up to twenty bytes anywhere."""
    for _ in range(chance.randint(1, 20)):
        data[_place(data, chance)] = chance.randrange(256)


def _block(data: bytearray, chance: random.Random) -> tuple[int, int]:
    start = _place(data, chance)
    return start, start + chance.choice((1, 2, 16, 512, 4096, 70_000))


def zeroed(data: bytearray, chance: random.Random) -> None:
    """Fill a block with zeros, as a card that was pulled leaves it."""
    start, end = _block(data, chance)
    data[start:end] = bytes(len(data[start:end]))


def doubled(data: bytearray, chance: random.Random) -> None:
    """Put a block in twice."""
    start, end = _block(data, chance)
    data[start:start] = data[start:end]


def lost(data: bytearray, chance: random.Random) -> None:
    """Take a block out."""
    start, end = _block(data, chance)
    del data[start:end]


def ended(data: bytearray, chance: random.Random) -> None:
    """End anywhere."""
    del data[_place(data, chance) :]


def _segments(data: bytes) -> Iterator[tuple[int, int]]:
    """Yield where lengths of JPEG segments stand, up to the first scan (ISO/IEC 10918-1, B.1)."""
    at = 2
    while data[:2] == b"\xff\xd8" and at + 4 <= len(data) and data[at] == 0xFF:
        yield at + 2, 2
        if data[at + 1] == 0xDA:
            return
        at += 2 + int.from_bytes(data[at + 2 : at + 4], "big")


def _entries(data: bytes) -> Iterator[tuple[int, int]]:
    """Yield where tags, counts and offsets of TIFF directories stand (TIFF 6.0, section 2)."""
    for head in _TIFF_HEAD.finditer(data):
        order = "<" if head[0][:1] == b"I" else ">"
        base, pending, seen = head.start(), [head.start() + 4], set[int]()
        while pending:
            pointer = pending.pop()
            yield pointer, 4
            if pointer + 4 > len(data):
                continue
            at = base + struct.unpack_from(order + "I", data, pointer)[0]
            if at in seen or at + 2 > len(data):
                continue
            seen.add(at)
            yield at, 2
            count = min(struct.unpack_from(order + "H", data, at)[0], 100)
            for entry in range(at + 2, min(at + 2 + 12 * count, len(data) - 12), 12):
                yield from ((entry, 2), (entry + 2, 2), (entry + 4, 4), (entry + 8, 4))
                if struct.unpack_from(order + "H", data, entry)[0] in (0x8769, 0x8825):
                    pending.append(entry + 8)


def lengths(data: bytes) -> list[tuple[int, int]]:
    """Return where lengths, counts and offsets stand in a picture, and in how many bytes each."""
    boxes = [m.start() - 4 for m in _BOX.finditer(data[:20_000]) if m.start() >= 4]
    chunks = [m.start() - 4 for m in _PNG_CHUNK.finditer(data[:20_000]) if m.start() >= 4]
    places = [(at, 4) for at in (boxes if data[4:8] == b"ftyp" else chunks)]
    return [*places, *_segments(data), *_entries(data)]


def lying(data: bytearray, chance: random.Random) -> None:
    """Write something else where lengths, counts and offsets stand."""
    for at, size in chance.choices(lengths(bytes(data)) or [(0, 1)], k=chance.randint(1, 3)):
        near = int.from_bytes(data[at : at + size], "big") + chance.randint(-9, 9)
        told = chance.choice((*_LIES, near, at, chance.getrandbits(32)))
        order = chance.choice(("little", "big"))
        data[at : at + size] = (told & ((1 << 8 * size) - 1)).to_bytes(size, order)


FAULTS: tuple[Fault, ...] = (flipped, zeroed, doubled, lost, ended, lying, lying)


def mutants(whole: dict[str, bytes], count: int, seed: int) -> Iterator[tuple[str, bytes]]:
    """Yield mutants of pictures in turn, each with what it was and what was done to it."""
    chance = random.Random(seed)
    names = sorted(whole)
    for number in range(count):
        name, data = names[number % len(names)], bytearray(whole[names[number % len(names)]])
        done = [chance.choice(FAULTS) for _ in range(chance.choice((1, 1, 2)))]
        for fault in done:
            if data:
                fault(data, chance)
        told = " and ".join(fault.__name__ for fault in done)
        yield f"{name}, {told}, number {number} of seed {seed}", bytes(data)
