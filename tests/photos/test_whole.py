"""A picture that lost its end, or a stretch of its middle, is noticed without drawing it."""

from __future__ import annotations

import io
import struct

import pytest
from PIL import Image

from siltline.photos.whole import cut_off, head, zero_filled
from support.pictures import picture

END = b"\xff\xd9"
WHOLE = picture(1)


def with_thumbnail(data: bytes = WHOLE) -> bytes:
    """Return a JPEG with a small JPEG, end marker and all, inside its EXIF segment."""
    inside = b"Exif\0\0" + picture(2, size=(16, 12))
    segment = b"\xff\xe1" + struct.pack(">H", len(inside) + 2) + inside
    return data[:2] + segment + data[2:]


def scan(data: bytes) -> int:
    """Return where the picture's own scan begins."""
    return data.rfind(b"\xff\xda")


def png() -> bytes:
    written = io.BytesIO()
    Image.new("RGB", (32, 24), "red").save(written, "PNG")
    return written.getvalue()


def progressive() -> bytes:
    written = io.BytesIO()
    Image.linear_gradient("L").convert("RGB").save(written, "JPEG", progressive=True)
    return written.getvalue()


def two_pictures() -> bytes:
    """Return a JPEG with a second one behind it, as cameras with previews write it."""
    written = io.BytesIO()
    first, second = (Image.new("RGB", (32, 24), colour) for colour in ("red", "blue"))
    first.save(written, "MPO", save_all=True, append_images=[second])
    return written.getvalue()


@pytest.mark.parametrize(
    ("data", "kind"),
    [
        (WHOLE, "JPEG"),
        (with_thumbnail(), "JPEG"),
        (progressive(), "JPEG"),
        (two_pictures(), "MPO"),
        (WHOLE + picture(3), "JPEG"),
        (WHOLE + bytes(300), "JPEG"),
        (WHOLE + b"a maker's own trailer", "JPEG"),
        (WHOLE[:2] + b"\xff\xff\xff" + WHOLE[2:], "JPEG"),  # fill bytes before a marker
        (png(), "PNG"),
        (png() + bytes(300), "PNG"),
    ],
    ids=[
        "plain", "thumbnail", "progressive", "two pictures", "second picture behind", "padding",
        "trailer", "fill bytes", "PNG", "PNG with padding",
    ],
)  # fmt: skip
def test_a_whole_picture_is_not_cut_off_whatever_follows_it(data: bytes, kind: str) -> None:
    assert not cut_off(data, kind)


def test_a_jpeg_cut_anywhere_is_cut_off() -> None:
    whole = with_thumbnail()
    assert whole.find(END) < scan(whole)  # the thumbnail's own end marker does not deceive
    for length in range(len(whole) - 1):
        assert cut_off(whole[:length], "JPEG"), length


def test_a_progressive_jpeg_cut_anywhere_is_cut_off() -> None:
    whole = progressive()
    for length in range(0, len(whole) - 1, 7):
        assert cut_off(whole[:length], "JPEG"), length


def test_two_pictures_in_a_file_are_cut_off_where_the_first_lacks_its_end() -> None:
    whole = two_pictures()
    end_of_first = whole.find(END, whole.find(b"\xff\xda"))
    assert cut_off(whole[:end_of_first], "MPO")
    assert not cut_off(whole[: end_of_first + 2], "MPO")


def test_a_png_cut_before_its_end_is_cut_off() -> None:
    whole = png()
    for length in range(whole.find(b"IEND")):
        assert cut_off(whole[:length], "PNG"), length


def box(kind: bytes, content: bytes) -> bytes:
    return struct.pack(">I4s", 8 + len(content), kind) + content


def test_a_phone_picture_that_lost_its_end_is_cut_off() -> None:
    """HEIF names the length of each of its boxes (ISO/IEC 14496-12, 4.2), so a cut shows."""
    whole = (
        box(b"ftyp", b"heic\0\0\0\0mif1heic") + box(b"meta", bytes(40)) + box(b"mdat", b"x" * 99)
    )
    assert not cut_off(whole, "HEIF")
    assert cut_off(whole[:-50], "HEIF")


@pytest.mark.parametrize("data", [b"", b"\xff", b"\xff\xd8", b"\xff\xd8\xff", b"\xff" * 50, END])
@pytest.mark.parametrize("kind", ["JPEG", "MPO", "PNG"])
def test_next_to_nothing_is_cut_off(data: bytes, kind: str) -> None:
    assert cut_off(data, kind)


def test_a_segment_that_claims_to_be_empty_does_not_go_round_for_ever() -> None:
    assert cut_off(b"\xff\xd8" + b"\xff\xe1\x00\x00" * 1000, "JPEG")


@pytest.mark.parametrize("kind", ["", "GIF"])
def test_a_kind_that_is_not_known_is_never_called_cut_off(kind: str) -> None:
    assert not cut_off(b"anything", kind)


def zeros(count: int) -> bytes:
    """Return a JPEG with a run of zeros inside its scan, as of a card pulled while it copied."""
    middle = (scan(WHOLE) + len(WHOLE)) // 2
    return WHOLE[:middle] + bytes(count) + WHOLE[middle:]


@pytest.mark.parametrize(("count", "told"), [(65536, True), (1_000_000, True), (60_000, False)])
def test_a_long_run_of_zeros_in_a_jpeg_is_told(count: int, told: bool) -> None:
    assert zero_filled(zeros(count), "JPEG") is told


@pytest.mark.parametrize("data", [WHOLE, with_thumbnail(), two_pictures(), WHOLE + bytes(300)])
def test_a_whole_picture_is_not_called_zero_filled(data: bytes) -> None:
    assert not zero_filled(data, "JPEG")


def test_zeros_say_nothing_of_formats_that_may_hold_them() -> None:
    assert not zero_filled(bytes(1_000_000), "TIFF")
    assert not zero_filled(bytes(1_000_000), "HEIF")


def test_the_head_of_a_jpeg_is_what_stands_before_its_pixels_and_other_files_stay_whole() -> None:
    noise = Image.effect_noise((640, 480), 90).convert("RGB")
    written = io.BytesIO()
    exif = Image.Exif()
    exif[0x010F] = "Invented"
    noise.save(written, "JPEG", exif=exif, quality=95)
    data = written.getvalue()
    assert data.startswith(head(data))
    assert len(head(data)) < len(data) / 50
    with Image.open(io.BytesIO(head(data))) as image:
        assert (image.size, image.getexif()[0x010F]) == ((640, 480), "Invented")
    assert head(b"\x89PNG\r\n" + bytes(9)) == b"\x89PNG\r\n" + bytes(9)
    assert head(data[:40]) == data[:40], "no scan: all of it"
