import hashlib
import random
from datetime import date
from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile, TemporaryUploadedFile
from PIL import Image

from instruments.photos import LARGEST_BYTES, PhotoRefused, prepare_photo, prepare_photos
from instruments.pictures import MOST_SINGLE_BYTES, Skimmed
from tests.instruments.upload_corpus import BLUE, HEIC, RED, bad_files, encoded, good_files, picture

GOOD, BAD = good_files(), bad_files()
# Anything of these in a redrawn picture means that something the sender wrote came through.
FOREIGN = [
    b"Exif",
    b"Hidden",
    b"GPS",
    b"<script",
    b"http:",
    b"adobe",
    b"ICC_PROFILE",
    b"ICCP",
    b"XMP",
    b"EXIF",
]


def sent(name: str, content: bytes) -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content)


def redrawn_pictures(photo) -> list[Image.Image]:
    return [Image.open(BytesIO(part)) for part in redrawn_parts(photo)]


def redrawn_parts(photo) -> tuple[bytes, ...]:
    return photo.thumb_webp, photo.medium_webp, photo.page_webp, photo.print_jpeg


def is_near(pixel, colour) -> bool:
    return all(abs(seen - meant) < 40 for seen, meant in zip(pixel, colour, strict=True))


@pytest.mark.parametrize("what", GOOD)
def test_good_file_gives_four_pictures_without_a_foreign_byte(what):
    photo = prepare_photo(sent(*GOOD[what]))
    assert [picture.format for picture in redrawn_pictures(photo)] == ["WEBP", "WEBP", "WEBP", "JPEG"]
    for part in redrawn_parts(photo):
        assert [word for word in FOREIGN if word in part] == []


@pytest.mark.parametrize("what", GOOD)
def test_good_file_leaves_no_comment_segment_in_the_print(what):
    """JPEG segments (ITU-T T.81 B.1.1.3): none but JFIF's own APP0, no COM."""
    printed = prepare_photo(sent(*GOOD[what])).print_jpeg
    before_scan = printed[: printed.index(b"\xff\xda")]
    markers = {bytes([0xFF, code]) for code in [*range(0xE1, 0xF0), 0xFE]}
    assert [marker for marker in markers if marker in before_scan] == []


@pytest.mark.filterwarnings("ignore::PIL.Image.DecompressionBombWarning")
@pytest.mark.parametrize("what", BAD)
def test_bad_file_is_refused_by_name(what):
    name, content = BAD[what]
    with pytest.raises(PhotoRefused) as refused:
        prepare_photo(sent(name, content))
    assert refused.value.sentence.startswith(name)
    assert refused.value.sentence.endswith(".")


def test_corpus_holds_at_least_fifty_files():
    assert len(GOOD) + len(BAD) >= 50


@pytest.mark.parametrize(
    ("what", "words"),
    [
        ("nothing", "is empty"),
        ("half a JPEG", "damaged or not complete"),
        ("half a HEIC", "damaged or not complete"),
        ("a GIF", "is a GIF"),
        ("a video", "is a video"),
        ("an SVG named .png", "web page or SVG"),
        ("a PostScript drawing named .jpg", "PostScript"),
        ("a moving PNG", "is an animation"),
    ],
)
def test_refusal_says_what_is_wrong(what, words):
    with pytest.raises(PhotoRefused, match=words):
        prepare_photo(sent(*BAD[what]))


@pytest.mark.filterwarnings("ignore::PIL.Image.DecompressionBombWarning")
def test_bomb_is_refused_by_its_measures():
    with pytest.raises(PhotoRefused, match="13000 by 13000 pixels"):
        prepare_photo(sent(*BAD["a PNG bomb of 169 megapixels"]))


def test_file_over_thirty_megabytes_is_refused_before_it_is_read():
    upload = sent("large.jpg", b"\xff\xd8\xff")
    upload.size = LARGEST_BYTES + 1_000_000
    with pytest.raises(PhotoRefused, match=r"large\.jpg is 31 MB; a photo may be up to 30 MB\."):
        prepare_photo(upload)


def test_original_is_kept_byte_for_byte():
    name, content = GOOD["a JPEG with a place and a time"]
    photo = prepare_photo(sent(name, content))
    assert photo.original.read() == content
    assert photo.sha256 == hashlib.sha256(content).hexdigest()


def test_picture_held_upright_is_measured_and_redrawn_upright():
    photo = prepare_photo(sent(*GOOD["a JPEG with a place and a time"]))
    printed = Image.open(BytesIO(photo.print_jpeg))
    assert (photo.width, photo.height) == printed.size == (48, 64)
    # Turned a quarter to the right, what was on the left stands at the top.
    assert is_near(printed.getpixel((24, 5)), BLUE)
    assert is_near(printed.getpixel((24, 58)), RED)


def test_heic_is_turned_once_only():
    photo = prepare_photo(sent("IMG_2041.HEIC", HEIC))
    printed = Image.open(BytesIO(photo.print_jpeg))
    assert (photo.media_type, photo.width, photo.height) == ("image/heic", 48, 64)
    assert is_near(printed.getpixel((24, 5)), BLUE)
    assert is_near(printed.getpixel((24, 58)), RED)


@pytest.mark.parametrize(
    "what", ["a JPEG with a place and a time", "a PNG with text and EXIF", "a HEIC from a phone"]
)
def test_day_it_was_taken_is_read_from_the_camera(what):
    assert prepare_photo(sent(*GOOD[what])).taken_on == date(2024, 5, 17)


def test_day_it_was_taken_is_unknown_where_the_camera_says_nothing_sensible():
    notes = Image.Exif()
    notes.get_ifd(0x8769)[0x9003] = "0000:00:00 00:00:00"
    content = encoded(picture(), "JPEG", exif=notes)
    assert prepare_photo(sent("x.jpg", content)).taken_on is None


@pytest.mark.parametrize(
    ("what", "media_type"),
    [
        ("a PNG named .jpg", "image/png"),
        ("two pictures in one JPEG", "image/jpeg"),
        ("a HEIC named .jpg", "image/heic"),
        ("a WebP without loss", "image/webp"),
    ],
)
def test_kind_is_taken_from_the_content_and_not_from_the_name(what, media_type):
    assert prepare_photo(sent(*GOOD[what])).media_type == media_type


def test_pictures_are_made_in_four_sizes():
    photo = prepare_photo(sent(*GOOD["a JPEG larger than print"]))
    assert [max(picture.size) for picture in redrawn_pictures(photo)] == [400, 800, 1280, 2048]


def test_sixteen_bit_grey_keeps_its_tone():
    photo = prepare_photo(sent(*GOOD["a sixteen-bit PNG"]))
    assert is_near(redrawn_pictures(photo)[2].getpixel((9, 9)), (156, 156, 156))  # 40,000 / 256


def test_what_is_seen_through_is_shown_on_white():
    content = encoded(Image.new("RGBA", (20, 20), (0, 0, 0, 0)), "PNG")
    assert is_near(
        redrawn_pictures(prepare_photo(sent("x.png", content)))[2].getpixel((9, 9)), (255, 255, 255)
    )


def test_large_upload_is_read_from_its_temporary_file():
    name, content = GOOD["a plain JPEG"]
    upload = TemporaryUploadedFile(name, "image/jpeg", len(content), None)
    upload.write(content)
    assert prepare_photo(upload).sha256 == hashlib.sha256(content).hexdigest()


def test_good_ones_are_kept_and_bad_ones_named():
    photos, sentences = prepare_photos(
        [sent(*GOOD["a PNG"]), sent(*BAD["a GIF"]), sent("again.png", GOOD["a PNG"][1])]
    )
    assert [photo.original_name for photo in photos] == ["keys.png"]
    assert sentences == [
        "anim.gif is a GIF; photos can be JPEG, PNG, WebP or HEIC.",
        "again.png is the same picture as keys.png.",
    ]


def mutated(content: bytes, chance: random.Random) -> bytes:
    changed = bytearray(content)
    for _ in range(chance.choice([1, 2, 8])):
        changed[chance.randrange(len(changed))] = chance.randrange(256)
    return bytes(changed)


@pytest.mark.filterwarnings("ignore::UserWarning")
@pytest.mark.parametrize(
    ("what", "times"),
    [
        ("a JPEG with a profile", 100),
        ("a PNG with text and EXIF", 100),
        ("a WebP with EXIF and XMP", 100),
        ("a HEIC from a phone", 20),
    ],
)
def test_mutated_file_is_taken_or_refused_and_breaks_nothing(what, times):
    """6,000 of these were tried by hand as well."""
    name, content = GOOD[what]
    chance = random.Random(20260321)
    photos, sentences = prepare_photos(sent(name, mutated(content, chance)) for _ in range(times))
    assert len(photos) + len(sentences) == times
    assert not any(b"Hidden" in photo.thumb_webp + photo.page_webp + photo.print_jpeg for photo in photos)


def test_heic_that_breaks_its_decoder_costs_one_photo_and_no_process():
    with pytest.raises(PhotoRefused, match=r"crash\.heic is damaged"):
        prepare_photo(sent(*BAD["a HEIC that breaks its decoder"]))


def test_a_file_that_would_be_searched_byte_by_byte_is_given_up_soon():
    sent = Skimmed(BytesIO(b"\xff\xd8\xff" + bytes(2_000_000)))
    with pytest.raises(SyntaxError):
        while sent.read(1):
            pass
    assert sent.tell() == MOST_SINGLE_BYTES


def test_a_jpeg_that_holds_megabytes_of_nothing_is_refused_as_damaged():
    upload = SimpleUploadedFile("nothing.jpg", b"\xff\xd8\xff" + bytes(2_000_000))
    assert "is damaged or not complete" in prepare_photos([upload])[1][0]
