import re
from io import BytesIO

import pytest
import segno
from PIL import Image

from instruments.documents import pour
from instruments.documents.content import Photo
from instruments.documents.gallery import gallery, group_size
from instruments.documents.jpeg import read_jpeg
from instruments.documents.qr import QUIET_MODULES, QrFigure
from instruments.documents.sheet import WIDTH, print_sheet
from tests.drawn import jpeg
from tests.instruments.test_paper_kit import IMPRINT
from tests.reading import Reading

LANDSCAPES = tuple(Photo(jpeg(400, 300, shade=60 + 20 * n), f"Caption {n}", f"Picture {n}") for n in range(9))


def printed(pieces) -> Reading:
    return Reading(print_sheet(pieces, IMPRINT))


def with_hidden_data() -> bytes:
    exif = Image.Exif()
    exif[0x010E] = "HIDDEN place 51.5 N"
    return (
        jpeg(exif=exif, comment=b"HIDDEN comment <script>", xmp=b"<x:xmpmeta>HIDDEN</x:xmpmeta>")
        + b"HIDDEN tail"
    )


@pytest.mark.parametrize("options", [{}, {"progressive": True}, {"mode": "L"}, {"mode": "CMYK"}])
def test_a_jpeg_is_measured_without_decoding(options):
    read = read_jpeg(jpeg(320, 200, **options))
    components = {"L": 1, "CMYK": 4}.get(options.get("mode"), 3)
    assert (read.width, read.height, read.components) == (320, 200, components)


@pytest.mark.parametrize("options", [{}, {"progressive": True}, {"mode": "L"}])
def test_a_plain_jpeg_keeps_its_picture(options):
    original = jpeg(64, 48, **options)
    kept = Image.open(BytesIO(read_jpeg(original).data))
    assert kept.tobytes() == Image.open(BytesIO(original)).tobytes()


def test_nothing_hidden_beside_the_picture_is_kept():
    assert with_hidden_data().count(b"HIDDEN") == 4
    assert b"HIDDEN" not in read_jpeg(with_hidden_data()).data


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\xff\xd8",
        b"GIF89a" + b"\0" * 40,
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        jpeg()[:200],
        jpeg()[:-2],
        b"\xff\xd8\xff\xd9",
        b"\xff\xd8\xff\xda\x00\x02\xff\xd9",
        b"\xff\xd8\xff\xc0\x00\x03\x08\xff\xd9",
        b"\xff\xd8\xff\xe0\x00\x00\xff\xd9",
        b"\xff\xd8\xff\xc0\x00\x0b\x08\x00\x10\x00\x10\x01\x01\x11\x00\xff\xd9",
    ],
)
def test_what_is_no_whole_jpeg_is_refused(data):
    with pytest.raises(ValueError, match="JPEG"):
        read_jpeg(data)


def test_cutting_or_changing_any_byte_is_refused_or_read_and_never_hangs():
    original = jpeg(40, 30)
    for position in range(0, len(original), 3):
        changed = original[:position] + bytes([original[position] ^ 0xFF]) + original[position + 1 :]
        for data in (original[:position], changed):
            try:
                assert read_jpeg(data).width > 0
            except ValueError as refused:
                assert "JPEG" in str(refused)


@pytest.mark.parametrize("count", range(10))
def test_every_photograph_is_placed_once_with_its_words(count):
    reading = printed(gallery(LANDSCAPES[:count], width=WIDTH))
    assert reading.picture_count == count
    assert [alt for kind, alt in reading.elements if kind == "Figure"] == [
        f"Picture {n}" for n in range(count)
    ]
    assert all(f"Caption {n}" in reading.text for n in range(count))


@pytest.mark.parametrize("count", range(1, 10))
@pytest.mark.parametrize("group", [True, False])
def test_no_photograph_leaves_the_margins(count, group):
    for row in gallery(LANDSCAPES[:count], width=WIDTH, group=group):
        across, _ = row.wrap(WIDTH, pour.ENDLESS)
        assert across <= WIDTH + 0.1


def test_three_landscapes_make_a_group_that_ends_on_one_line():
    (group,) = gallery(LANDSCAPES[:3], width=WIDTH)
    large, stack = group.columns
    bottoms = [
        next(each.top + each.height for each in reversed(placed) if hasattr(each.piece, "jpeg"))
        for placed in (pour.fill(large, group.widths[0], 1e6)[0], pour.fill(stack, group.widths[1], 1e6)[0])
    ]
    assert bottoms[0] == pytest.approx(bottoms[1], abs=0.5)


def test_upright_pictures_stand_in_a_row_of_one_height():
    tall = tuple(Photo(jpeg(300, 500, shade=shade)) for shade in (60, 90, 120))
    (row,) = gallery(tall, width=WIDTH)
    assert len({round(cell[0].height, 2) for cell in row.columns}) == 1
    assert group_size(tall, width=WIDTH) == 0


def test_a_file_that_cannot_be_read_is_said_to_be_missing(tmp_path):
    photos = (Photo(b"no picture", "The front"), LANDSCAPES[0], Photo(tmp_path / "gone.jpg", "The back"))
    reading = printed(gallery(photos, width=WIDTH))
    assert reading.picture_count == 1
    assert "Photograph 1 could not be printed: The front" in reading.text
    assert "Photograph 3 could not be printed: The back" in reading.text


def test_a_photograph_can_come_from_a_file(tmp_path):
    (tmp_path / "front.jpg").write_bytes(jpeg())
    assert printed(gallery((Photo(tmp_path / "front.jpg"),), width=WIDTH)).picture_count == 1


def test_a_long_caption_is_printed_below_the_pictures():
    photos = (Photo(jpeg(), "chip " * 60), *LANDSCAPES[:2])
    text = printed(gallery(photos, width=WIDTH)).text
    assert text.index("Photograph 1: chip chip") > text.index("Caption 1")


def test_a_photograph_without_words_says_so_to_those_who_cannot_see_it():
    reading = printed(gallery((Photo(jpeg()),), width=WIDTH))
    assert ("Figure", "Picture without a description") in reading.elements


def test_a_qr_code_is_drawn_and_not_a_picture():
    reading = printed([QrFigure("https://castlemere.example/window/26-014", 60, "QR code")])
    assert reading.picture_count == 0
    assert ("Figure", "QR code") in reading.elements


def test_a_qr_code_has_each_dark_module_where_it_belongs():
    address = "https://castlemere.example/window/26-014"
    code = (
        printed([QrFigure(address, 60, "QR code")])
        .reader.pages[0]
        .get_contents()
        .get_data()
        .decode("latin-1")
    )
    drawn = set()
    for x, y, length in re.findall(r"(\d+) (\d+) (\d+) 1 re", code):
        drawn |= {(int(x) + step - QUIET_MODULES, int(y) - QUIET_MODULES) for step in range(int(length))}
    matrix = segno.make(address, error="m", micro=False).matrix
    assert drawn == {(x, y) for y, row in enumerate(matrix) for x, dark in enumerate(row) if dark}


def test_a_qr_code_refuses_what_no_code_can_hold():
    with pytest.raises(ValueError):
        QrFigure("x" * 5_000, 60, "QR code")


@pytest.mark.parametrize("others", [2, 3])
def test_a_panorama_in_front_leaves_no_room_for_a_group_and_breaks_no_paper(others):
    """The height it has at full width is less than the captions of the others need beside it."""
    photos = (Photo(jpeg(2000, 60), "The whole case"), *LANDSCAPES[:others])
    assert group_size(photos, width=WIDTH) == 0
    assert f"Caption {others - 1}" in printed(gallery(photos, width=WIDTH)).text
