"""What a picture says of itself: format, size, camera, stamps and position.

Runs inside the worker: readers of strangers' bytes can hang or die there and nothing else does.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from PIL import Image

READER = "2"  # changes when a photo must be read again
# Pillow's JPEG reader opens MPO too; the HEIF reader is another library, loaded when wanted.
FORMATS = ("JPEG", "PNG", "TIFF")
HEIF = ("HEIF",)
LARGEST_PIXELS = 600_000_000  # real phones make 200 million
LONGEST = 200  # characters kept of an EXIF string

# Tag numbers: EXIF 2.32 (CIPA DC-008), tables 4, 7 and 15.
_MAKE, _MODEL, _ORIENTATION = 0x010F, 0x0110, 0x0112
_EXIF_IFD, _GPS_IFD = 0x8769, 0x8825
_SOFTWARE, _CHANGED = 0x0131, 0x0132
_ORIGINAL, _OFFSET, _SUBSEC, _SERIAL = 0x9003, 0x9011, 0x9291, 0xA431
_MAKER_NOTE, _WIDE, _HIGH = 0x927C, 0xA002, 0xA003
_LAT_REF, _LAT, _LON_REF, _LON, _GPS_TIME, _GPS_DATE, _GPS_ERROR = 1, 2, 3, 4, 7, 29, 31
_DNG_VERSION = 0xC612  # DNG 1.6: only raw files have it

Facts = dict[str, Any]


def _decoded(raw: bytes) -> str:
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError:
        return raw.decode("latin-1")


def _undone(text: str) -> str:
    """Return text that was read as Latin-1 as what its bytes say; other text as it is."""
    try:
        return _decoded(text.encode("latin-1"))
    except UnicodeEncodeError:
        return text


def _text(value: object) -> str | None:
    """Return an EXIF string as the camera wrote it, up to its first NUL.

    EXIF says ASCII; cameras write UTF-8 too, which one of the readers gives as Latin-1.
    """
    if not isinstance(value, str | bytes):
        return None
    text = _undone(value) if isinstance(value, str) else _decoded(value)
    return text.split("\0", 1)[0][:LONGEST] or None


def _numbers(value: object, count: int) -> list[float] | None:
    """Return a list of finite numbers of that length, or None."""
    try:
        found = [float(v) for v in value]  # type: ignore[attr-defined]
    except (TypeError, ValueError, ZeroDivisionError, OverflowError):
        return None
    return found if len(found) == count and all(abs(v) < 1e9 for v in found) else None  # noqa: PLR2004


def _degrees(value: object, ref: object, limit: int) -> float | None:
    """Return degrees, minutes and seconds as signed degrees; None where out of range."""
    parts, side = _numbers(value, 3), (_text(ref) or "").strip().upper()
    if parts is None or side not in ("N", "S", "E", "W"):
        return None
    degrees = parts[0] + parts[1] / 60 + parts[2] / 3600
    if not 0 <= degrees <= limit:
        return None
    return round(-degrees if side in ("S", "W") else degrees, 7)


def _metres(value: object) -> float | None:
    """Return a length above nothing, as of a satellite fix's error."""
    found = _numbers((value,), 1)
    return found[0] if found and found[0] > 0 else None


def _gps_moment(date: object, time: object) -> str | None:
    """Return the satellite time as `YYYY:MM:DD HH:MM:SS`, UTC; None where it is not whole."""
    day, clock = _text(date), _numbers(time, 3)
    if day is None or clock is None:
        return None
    return f"{day} {int(clock[0]):02d}:{int(clock[1]):02d}:{int(clock[2]):02d}"


def _from_tags(main: Mapping[int, Any], exif: Mapping[int, Any], gps: Mapping[int, Any]) -> Facts:
    orientation = main.get(_ORIENTATION)
    return {
        "make": _text(main.get(_MAKE)),
        "model": _text(main.get(_MODEL)),
        "orientation": orientation if isinstance(orientation, int) else None,
        "stamp": _text(exif.get(_ORIGINAL)),
        "offset": _text(exif.get(_OFFSET)),
        "subsec": _text(exif.get(_SUBSEC)),
        "lat": _degrees(gps.get(_LAT), gps.get(_LAT_REF), 90),
        "lon": _degrees(gps.get(_LON), gps.get(_LON_REF), 180),
        "gps_utc": _gps_moment(gps.get(_GPS_DATE), gps.get(_GPS_TIME)),
        "gps_error": _metres(gps.get(_GPS_ERROR)),
        "serial": _text(exif.get(_SERIAL)),
        "software": _text(main.get(_SOFTWARE)),
        "changed": _text(main.get(_CHANGED)),
        "told_size": _numbers((exif.get(_WIDE), exif.get(_HIGH)), 2),
        "maker_note": _MAKER_NOTE in exif,
    }


def open_picture(data: bytes) -> Image.Image:
    """Open a picture of the formats that are taken in, with Pillow; its pixels are not decoded yet.

    Raises:
        UnidentifiedImageError: no such picture.
    """
    from PIL import Image  # noqa: PLC0415

    Image.MAX_IMAGE_PIXELS = LARGEST_PIXELS
    boxed = data[4:8] == b"ftyp"
    if boxed:
        from pi_heif import register_heif_opener  # noqa: PLC0415

        register_heif_opener(thumbnails=False)
    return Image.open(io.BytesIO(data), formats=HEIF if boxed else FORMATS)


def _stored_size(image: Image.Image, turned: object) -> tuple[int, int]:
    """Return the size of a picture as stored; the HEIF reader gives it turned upright."""
    on_its_side = turned in (5, 6, 7, 8)  # EXIF 2.32, Orientation: the sides are exchanged
    return (image.height, image.width) if on_its_side else (image.width, image.height)


def first_reader(data: bytes) -> Facts:
    """Read a picture with Pillow.

    Returns:
        format, width, height (pixels as stored) and what EXIF says, or `exif_fault` where EXIF
        cannot be read; `raw` alone where it is a raw file; {} where it is no picture of the
        formats that are taken in.
    """
    from PIL import UnidentifiedImageError  # noqa: PLC0415

    try:
        image = open_picture(data)
    except UnidentifiedImageError:
        return {}
    with image:
        if _DNG_VERSION in getattr(image, "tag_v2", {}):
            return {"raw": True}
        turned = image.info.get("original_orientation")
        width, height = _stored_size(image, turned)
        facts: Facts = {"format": image.format, "width": width, "height": height}
        told, fault = quietly(lambda opened: _exif(opened, data), image)
    facts |= told | ({"exif_fault": fault} if fault else {})
    if turned is not None:
        facts["orientation"] = turned
    return facts


def exif_of(image: Image.Image, data: bytes) -> Image.Exif:
    """Return EXIF of an open picture; pixels are decoded only where EXIF stands behind them.

    Pillow decodes every PNG that has none before its pixels: seconds, and all its memory.

    Raises:
        Exception: whatever a reader raises on hostile bytes.
    """
    from PIL import Image  # noqa: PLC0415

    behind = image.format != "PNG" or "exif" in image.info or b"eXIf" in data
    return image.getexif() if behind else Image.Image.getexif(image)


def _exif(image: Image.Image, data: bytes) -> Facts:
    exif = exif_of(image, data)
    return _from_tags(exif, exif.get_ifd(_EXIF_IFD), exif.get_ifd(_GPS_IFD))


def second_reader(data: bytes) -> Facts:
    """Read EXIF with exifread, for what it says of the camera, the stamp and the position."""
    import exifread  # noqa: PLC0415

    tags = exifread.process_file(io.BytesIO(data), details=False)

    def shown(name: str) -> str | None:
        return _text(tags[name].values) if name in tags else None

    def listed(name: str) -> object:
        return tags[name].values if name in tags else None

    return {
        "make": shown("Image Make"),
        "model": shown("Image Model"),
        "stamp": shown("EXIF DateTimeOriginal"),
        "offset": shown("EXIF OffsetTimeOriginal"),
        "subsec": shown("EXIF SubSecTimeOriginal"),
        "lat": _degrees(listed("GPS GPSLatitude"), shown("GPS GPSLatitudeRef"), 90),
        "lon": _degrees(listed("GPS GPSLongitude"), shown("GPS GPSLongitudeRef"), 180),
        "gps_utc": _gps_moment(shown("GPS GPSDate"), listed("GPS GPSTimeStamp")),
    }


def quietly(reader: Callable[[Any], Facts], source: Any) -> tuple[Facts, str]:
    """Return what a reader found and, where it failed on hostile bytes, the kind of its fault."""
    try:
        return reader(source), ""
    except Exception as fault:  # noqa: BLE001 - these readers leak a dozen kinds, none of them ours
        return {}, type(fault).__name__
