"""Photographs: what is a picture comes in without anything else; all else is refused in one line."""

from __future__ import annotations

import zlib
from datetime import UTC, datetime
from io import BytesIO
from struct import pack

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from annual_planner.records.apply import apply
from annual_planner.records.photographs import RemovePhotograph, SetCaption, TakePhotograph
from annual_planner.records.pictures import MOST_BYTES, read_picture
from annual_planner.store.card_reads import photograph_jpeg
from annual_planner.store.session import Fleet
from annual_planner.store.writing import rows_where
from annual_planner.trade.refused import Refused
from tests.fleets import ANN, TODAY, airplane, made
from tests.signing import card, shop_in, signed

NOON = datetime(2026, 5, 4, 12, tzinfo=UTC)
SECRET = b"the shop's own words"


def picture(kind: str = "JPEG", size: tuple[int, int] = (60, 40), mode: str = "RGB", **more: object) -> bytes:
    out = BytesIO()
    Image.new(mode, size, "red" if mode != "P" else 1).save(out, kind, **more)
    return out.getvalue()


def turned() -> bytes:
    exif = Image.Exif()
    exif[0x0112] = 6  # turned a quarter
    exif[0x010E] = SECRET.decode()
    return picture(exif=exif.tobytes())


def bomb(width: int, height: int) -> bytes:
    """A PNG of a few bytes that claims to be huge."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return pack(">I", len(body)) + kind + body + pack(">I", zlib.crc32(kind + body))

    head = pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(bytes(2000)))
        + chunk(b"IEND", b"")
    )


HOSTILE = {
    "nothing": b"",
    "zero bytes": bytes(4000),
    "words": b"not a picture",
    "gif": picture("GIF"),
    "bmp": picture("BMP"),
    "tiff": picture("TIFF"),
    "drawing": b'<svg xmlns="http://www.w3.org/2000/svg"/>',
    "document": b"%PDF-1.7\n" + bytes(200),
    "half a photograph": picture(size=(400, 400))[:-300],
    "half a png": picture("PNG", (400, 400))[:200],
    "only a head": picture()[:20],
    "bomb": bomb(60_000, 60_000),
    "wide": bomb(2_000_000_000, 1),
    "wide and real": bomb(60_000_001, 1),
    "too many bytes": picture() + bytes(MOST_BYTES),
}


@pytest.mark.parametrize("content", HOSTILE.values(), ids=HOSTILE)
def test_what_is_no_whole_picture_is_refused_in_one_line(content: bytes) -> None:
    with pytest.raises(Refused) as refused:
        read_picture(content)
    assert "\n" not in refused.value.said
    assert len(refused.value.said) < 100


SORTS = [
    picture("PNG"),
    picture("WEBP"),
    picture("PNG", mode="RGBA"),
    picture("PNG", mode="P"),
    picture(mode="CMYK"),
    picture("PNG", mode="L"),
]


@pytest.mark.parametrize("content", SORTS)
def test_every_sort_of_picture_is_written_anew_as_jpeg(content: bytes) -> None:
    read = read_picture(content)
    with Image.open(BytesIO(read.jpeg)) as again:
        assert (again.format, again.mode, again.size) == ("JPEG", "RGB", (60, 40))


def test_the_camera_s_turn_is_made_and_all_it_wrote_is_dropped() -> None:
    read = read_picture(turned())
    assert (read.width_px, read.height_px) == (40, 60)
    with Image.open(BytesIO(read.jpeg)) as again:
        assert dict(again.getexif()) == {}
    assert SECRET not in read.jpeg


def test_what_hides_behind_a_picture_is_dropped() -> None:
    archive = b"PK\x03\x04" + SECRET
    assert SECRET not in read_picture(picture() + archive).jpeg


def test_a_large_picture_is_made_smaller() -> None:
    read = read_picture(picture(size=(4000, 1000)))
    assert (read.width_px, read.height_px) == (2560, 640)
    with Image.open(BytesIO(read.thumbnail)) as small:
        assert max(small.size) == 256


GOOD = picture(size=(30, 20)), picture("PNG", (30, 20)), picture("WEBP", (30, 20))


@settings(max_examples=150)
@given(
    which=st.sampled_from(GOOD),
    where=st.floats(0, 1),
    bits=st.binary(min_size=1, max_size=8),
    cut=st.booleans(),
)
def test_a_spoilt_picture_is_read_or_refused_and_nothing_else(
    which: bytes, where: float, bits: bytes, cut: bool
) -> None:
    at = int(where * (len(which) - 1))
    spoilt = which[:at] if cut else which[:at] + bits + which[at + len(bits) :]
    try:
        read = read_picture(spoilt)
    except Refused:
        return
    assert max(read.width_px, read.height_px) <= 2560


def test_a_photograph_is_kept_captioned_and_brought_back(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    row = made(fleet, TakePhotograph(plane, read_picture(picture()), NOON, caption=" crack "))
    apply(fleet, SetCaption(row, "crack", "crack at the rivet"), ANN, TODAY)
    with fleet.reading() as work:
        before = rows_where(work, "photograph")
        assert Image.open(BytesIO(photograph_jpeg(work, row))).size == (60, 40)
    back = apply(fleet, RemovePhotograph(row), ANN, TODAY).back
    with fleet.reading() as work, pytest.raises(Refused):
        photograph_jpeg(work, row)
    assert back is not None
    apply(fleet, back, ANN, TODAY)
    with fleet.reading() as work:
        assert rows_where(work, "photograph") == before


def test_photographs_of_a_signed_card_stay_as_they_were_signed(fleet: Fleet) -> None:
    shop = shop_in(fleet)
    card_id = card(shop)
    take = TakePhotograph(shop.aircraft_id, read_picture(picture()), NOON, card_id, caption="before")
    row = made(fleet, take)
    signed(shop, "work_card", card_id, shop.mechanic)
    for edit in (take, SetCaption(row, "before", "after"), RemovePhotograph(row)):
        with pytest.raises(Refused, match="is signed"):
            apply(fleet, edit, ANN, TODAY)
    with fleet.reading() as work:
        assert [each["caption"] for each in rows_where(work, "photograph").values()] == ["before"]
