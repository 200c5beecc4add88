"""Photographs are read by their content and painted anew: what leaves the house holds nothing but what is seen.

The position is written as a camera writes it: tags 0x8825 and GPS tags 1 to 4 of Exif 2.32 (CIPA DC-008).
"""

import struct
import zlib
from io import BytesIO
from pathlib import Path

import pytest
from django.conf import settings
from PIL import ExifTags, Image

from registry.files import pictures
from registry.files.pictures import LaidPicture, lay_picture_aside
from registry.files.store import laid_content, lay_aside
from registry.rules.reading import Reading

GPS = {1: "N", 2: (44.0, 30.0, 0.0), 3: "E", 4: (29.0, 15.0, 0.0)}


@pytest.fixture(autouse=True)
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(settings, "DATA", tmp_path)
    monkeypatch.setattr(settings, "MEDIA_ROOT", tmp_path / "uploads")


def camera(size: tuple[int, int] = (60, 40), kind: str = "JPEG", turned: int = 1) -> bytes:
    """Return a picture, red on its left half, with a position and the way the camera was held."""
    image = Image.new("RGB", size, "white")
    image.paste("red", (0, 0, size[0] // 2, size[1]))
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = turned
    exif[ExifTags.Base.Artist] = "a name"
    exif.get_ifd(ExifTags.IFD.GPSInfo).update(GPS)
    written = BytesIO()
    image.save(written, kind, exif=exif, comment=b"where we fish") if kind == "JPEG" else image.save(written, kind)
    return written.getvalue()


def read(content: bytes, name: str = "fish.jpg") -> Reading[LaidPicture]:
    return lay_picture_aside(lay_aside([content], name), content)


def shown(reading: Reading[LaidPicture]) -> Image.Image:
    assert reading.value, reading.objections
    return Image.open(BytesIO(laid_content(reading.value.picture.sha256) or b""))


def test_the_position_and_all_else_beside_the_picture_stays_in_the_house() -> None:
    content = camera()
    assert Image.open(BytesIO(content)).getexif().get_ifd(ExifTags.IFD.GPSInfo)[2] == (44.0, 30.0, 0.0)
    reading = read(content)
    picture = shown(reading)
    assert reading.value.had_place
    assert dict(picture.getexif()) == {}
    assert {"exif", "comment", "icc_profile", "xmp"} & set(picture.info) == set()
    bare = laid_content(reading.value.picture.sha256)
    assert all(word not in bare for word in (b"where we fish", b"a name", b"Exif"))
    assert laid_content(reading.value.original.sha256) == content


def test_a_picture_taken_with_the_camera_on_its_side_stands_upright() -> None:
    picture = shown(read(camera(turned=6)))  # Exif: 6 is a quarter turn clockwise
    assert picture.size == (40, 60)
    assert picture.getpixel((20, 5))[1] < 80
    assert picture.getpixel((20, 55))[1] > 200


def test_a_large_picture_is_made_as_large_as_a_page_shows(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pictures, "LONGEST_SIDE", 30)
    reading = read(camera())
    assert (reading.value.width, reading.value.height) == shown(reading).size == (30, 20)


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_other_kinds_of_pictures_become_jpeg_too(kind: str) -> None:
    assert shown(read(camera(kind=kind), f"fish.{kind.lower()}")).format == "JPEG"


@pytest.mark.parametrize("content", [b"GIF89a" + bytes(40), b"%PDF-1.4", b"", b"\xff\xd8\xff" + bytes(20)])
def test_what_is_no_picture_is_refused(content: bytes) -> None:
    reading = read(content)
    assert reading.refused
    assert "“fish.jpg” cannot be read as a picture" in reading.objections[0].message


def test_a_picture_that_breaks_off_is_refused() -> None:
    assert read(camera((600, 400))[:-600]).refused


def test_a_small_file_that_unfolds_to_a_huge_picture_is_refused_before_it_unfolds(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(pictures, "MOST_PIXELS", 2000)
    reading = read(camera())
    assert reading.objections[0].code == "too_large"
    assert "60 × 40 pixels" in reading.objections[0].message


def test_a_picture_that_is_huge_by_its_own_word_is_refused_by_its_size() -> None:
    """Twenty thousand pixels each way, all black, are 50 kB as PNG (RFC 2083) and 400 MB unfolded."""
    head = struct.pack(">IIBBBBB", 20_000, 20_000, 1, 0, 0, 0, 0)
    black = zlib.compress(bytes(2501 * 20_000), 9)
    content = b"\x89PNG\r\n\x1a\n" + b"".join(part(*one) for one in ((b"IHDR", head), (b"IDAT", black), (b"IEND", b"")))
    reading = read(content, "fish.png")
    assert (len(content) < 60_000, reading.objections[0].code) == (True, "too_large")
    assert "at most 80 million are taken" in reading.objections[0].message


def part(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def test_what_a_damaged_camera_wrote_beside_the_picture_never_breaks_the_page() -> None:
    """Each byte of what stands before the picture spoilt in turn: it is kept or refused, in words."""
    content = camera()
    for place in range(2, 240):
        reading = read(content[:place] + bytes((content[place] ^ 0x5A,)) + content[place + 1 :])
        assert (reading.value is None) == reading.refused
