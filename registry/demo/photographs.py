"""Photographs for the demo, drawn: a sturgeon on the measuring board, from above, from the left, its head."""

from collections.abc import Callable
from datetime import datetime
from io import BytesIO

from PIL import ExifTags, Image, ImageDraw

from registry.files.pictures import LaidPicture, lay_picture_aside
from registry.files.store import lay_aside

SIZE = (1200, 500)
BOARD, SKIN, DARK, LIGHT, INK = (224, 226, 220), (128, 122, 104), (92, 88, 74), (206, 200, 178), (40, 40, 40)
# Where the invented river Isendre runs, degrees and minutes: a camera writes it, the register keeps it to itself.
GPS = {1: "N", 2: (47.0, 9.0, 39.0), 3: "W", 4: (31.0, 24.0, 23.0)}


def photographed(view: str, scutes: int, taken: datetime) -> LaidPicture:
    """Return a drawn photograph of a side, laid aside as one that came out of a camera."""
    image = Image.new("RGB", SIZE, BOARD)
    draw = ImageDraw.Draw(image)
    VIEWS[view](draw, scutes)
    _scale(draw)
    exif = Image.Exif()
    exif[ExifTags.Base.DateTime] = f"{taken:%Y:%m:%d %H:%M:%S}"
    exif.get_ifd(ExifTags.IFD.GPSInfo).update(GPS)
    written = BytesIO()
    image.save(written, "JPEG", quality=90, exif=exif)
    content = written.getvalue()
    laid = lay_picture_aside(lay_aside([content], f"{view.replace(' ', '-')}.jpg"), content).value
    assert laid is not None
    return laid


def _left(draw: ImageDraw.ImageDraw, scutes: int) -> None:
    body = [(70, 265), (190, 215), (420, 180), (760, 195), (980, 235), (1060, 240), (1150, 150), (1110, 250),
            (1130, 290), (1050, 265), (960, 275), (700, 310), (380, 320), (190, 300)]  # fmt: skip
    draw.polygon(body, SKIN, DARK)
    draw.polygon([(820, 200), (870, 130), (930, 225)], DARK)
    draw.polygon([(240, 300), (300, 370), (350, 318)], DARK)
    draw.ellipse([(178, 232), (196, 250)], INK)
    for n in range(scutes):
        x = 280 + n * 700 / scutes
        draw.polygon([(x, 240), (x + 300 / scutes, 250), (x, 262)], LIGHT, DARK)
    for n in range(13):
        x, y = 300 + n * 40, 178 + abs(n - 4) * 2
        draw.polygon([(x, y + 12), (x + 18, y - 8), (x + 34, y + 12)], LIGHT, DARK)


def _dorsal(draw: ImageDraw.ImageDraw, _scutes: int) -> None:
    draw.polygon([(70, 250), (260, 195), (520, 180), (960, 230), (1120, 245), (1120, 255), (960, 270), (520, 320),
                  (260, 305)], SKIN, DARK)  # fmt: skip
    draw.polygon([(290, 190), (360, 110), (400, 186)], DARK)
    draw.polygon([(290, 310), (360, 390), (400, 314)], DARK)
    for n in range(13):
        x = 330 + n * 48
        draw.polygon([(x, 250), (x + 22, 238), (x + 44, 250), (x + 22, 262)], LIGHT, DARK)


def _ventral_head(draw: ImageDraw.ImageDraw, _scutes: int) -> None:
    draw.polygon([(120, 250), (420, 130), (820, 90), (1080, 90), (1080, 410), (820, 410), (420, 370)], LIGHT, DARK)
    draw.ellipse([(640, 190), (720, 310)], (170, 120, 110), DARK)
    draw.line([(715, 215), (735, 250), (715, 285)], DARK, 6)
    for y in (200, 232, 268, 300):
        draw.line([(520, y), (470, y + (y - 250) // 3)], DARK, 7)


def _scale(draw: ImageDraw.ImageDraw) -> None:
    draw.rectangle([(70, 440), (1130, 470)], "white", INK)
    for n in range(54):
        x = 70 + n * 20
        draw.line([(x, 440), (x, 455 if n % 5 else 470)], INK, 2)


VIEWS: dict[str, Callable[[ImageDraw.ImageDraw, int], None]] = {
    "dorsal": _dorsal,
    "left": _left,
    "ventral head": _ventral_head,
}
