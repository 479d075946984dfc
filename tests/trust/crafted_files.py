"""Files that ill-wishers send, made here in code: (what it is, the name it comes under, its bytes)."""

import random
import struct
from collections.abc import Iterator
from io import BytesIO
from zipfile import ZIP_DEFLATED, ZipFile

from tests.instruments.upload_corpus import bad_files, encoded, good_files, picture, png_chunk

HOSTILE_NAMES = (
    "../../x.jpg",
    "..\\..\\x.jpg",
    "/etc/cron.d/x.jpg",
    "a%00.jpg",
    "x.jpg.html",
    "x.php.jpg",
    "W" * 300 + ".jpg",
    "'><img src=x onerror=pwn(1)>.jpg",
    "\u202egpj.exe",
    "CON.jpg",
    ".htaccess",
    "x.jpg; filename=y.html",
    "x\\r\\nSet-Cookie: a=b.jpg",
    "",
    "🎹.jpg",
    "=cmd|' /C calc'!A0.jpg",
)
COMMENT = b"<script>pwn('comment')</script>"


def crafted() -> list[tuple[str, str, bytes]]:
    plain = encoded(picture(), "JPEG")
    files = [(what, name, body) for what, (name, body) in (good_files() | bad_files()).items()]
    files += [
        (f"a JPEG called {name[:20]!r}", name, encoded(picture((30 + at, 20)), "JPEG"))
        for at, name in enumerate(HOSTILE_NAMES)
    ]
    files += [
        ("a JPEG of comments", "x.jpg", _with_comments(plain, 400)),
        ("a JPEG of 60,000 by 60,000", "x.jpg", _with_measures(plain, 60_000, 60_000)),
        ("a JPEG of no height", "x.jpg", _with_measures(plain, 60, 0)),
        ("a JPEG and a zip", "x.jpg", plain + _zip({"x.html": COMMENT})),
        ("a PNG whose check sum is wrong", "x.png", encoded(picture(), "PNG")[:-6] + b"wrong!"),
        ("a PNG of a million chunks", "x.png", _chunks(50_000)),
        ("a WAV of a header", "x.wav", b"RIFF\xff\xff\xff\xffWAVEfmt "),
        ("a WAV that says 4 GB", "x.wav", _wav(0xFFFFFFF0, 44_100, 2)),
        ("a WAV of 65,535 channels", "x.wav", _wav(800, 44_100, 65_535)),
        ("a WAV of no rate", "x.wav", _wav(800, 0, 1)),
        ("an MP3 of zeros", "x.mp3", b"ID3\x04\x00\x00\x7f\x7f\x7f\x7f" + bytes(5_000)),
        (
            "an MP4 whose box holds itself",
            "x.m4a",
            b"\x00\x00\x00\x08ftypM4A " + b"\x00\x00\x00\x00moov" * 50,
        ),
        ("a PDF that runs script", "x.pdf", _pdf(b"/OpenAction << /S /JavaScript /JS (app.alert(1)) >>")),
        ("a PDF of nothing", "x.pdf", b"%PDF-1.7\n"),
        ("a table of formulas", "x.csv", b"maker,serial\r\n=1+1,@SUM(1)\r\n"),
        ("a table of one cell", "x.csv", b'"' + b"W" * 300_000),
        ("a table of NUL", "x.csv", bytes(4_000)),
        ("a table in UTF-16", "x.csv", "maker,serial\r\nx,1\r\n".encode("utf-16")),
        ("a workbook that is a bomb", "x.xlsx", _zip({"xl/worksheets/sheet1.xml": bytes(50_000_000)})),
        (
            "a workbook with an entity",
            "x.xlsx",
            _zip({"[Content_Types].xml": ENTITY, "xl/workbook.xml": ENTITY}),
        ),
        ("a zip that climbs", "x.zip", _zip({"../../../etc/passwd": b"x"})),
        ("a symbolic link", "x.jpg", b"!<symlink>\xff\xfe/etc/passwd"),
    ]
    return files


ENTITY = b'<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]><x>&e;</x>'


def mutations(count: int, seed: int = 28) -> Iterator[tuple[str, str, bytes]]:
    """Good files with a bit, a piece or a length of them changed, always in the same order."""
    chance = random.Random(seed)
    seeds = [(name, body) for name, body in good_files().values() if len(body) < 60_000][:6]
    for at in range(count):
        name, body = chance.choice(seeds)
        changed = bytearray(body)
        how = at % 4
        place = chance.randrange(len(changed))
        if how == 0:
            changed[place] ^= 1 << chance.randrange(8)
        elif how == 1:
            changed[place : place + chance.randrange(1, 64)] = chance.randbytes(chance.randrange(64))
        elif how == 2:
            del changed[place : place + chance.randrange(1, 400)]
        else:
            start = chance.randrange(len(changed))
            changed[place:place] = changed[start : start + chance.randrange(1, 400)]
        yield f"mutation {at}", name, bytes(changed)


def _with_comments(jpeg: bytes, count: int) -> bytes:
    comment = b"\xff\xfe" + struct.pack(">H", len(COMMENT) + 2) + COMMENT
    return jpeg[:2] + comment * count + jpeg[2:]


def _with_measures(jpeg: bytes, width: int, height: int) -> bytes:
    """ITU-T T.81, B.2.2: the frame header holds height and width behind its precision."""
    at = jpeg.index(b"\xff\xc0") + 5
    return jpeg[:at] + struct.pack(">HH", height, width) + jpeg[at + 4 :]


def _chunks(count: int) -> bytes:
    png = encoded(picture((8, 8)), "PNG")
    return png[:33] + png_chunk(b"prVt", b"x") * count + png[33:]


def _wav(byte_count: int, rate: int, channels: int) -> bytes:
    form = struct.pack("<HHIIHH", 1, channels, rate, rate * 2, 2, 16)
    head = b"RIFF" + struct.pack("<I", 36) + b"WAVEfmt " + struct.pack("<I", 16) + form
    return head + b"data" + struct.pack("<I", byte_count & 0xFFFFFFFF) + bytes(800)


def _pdf(catalog: bytes) -> bytes:
    body = b"%PDF-1.4\n1 0 obj << /Type /Catalog " + catalog + b" >> endobj\n"
    return (
        body + b"xref\n0 1\ntrailer << /Root 1 0 R >>\nstartxref\n" + str(len(body)).encode() + b"\n%%EOF\n"
    )


def _zip(members: dict[str, bytes]) -> bytes:
    target = BytesIO()
    with ZipFile(target, "w", ZIP_DEFLATED) as packed:
        for name, body in members.items():
            packed.writestr(name, body)
    return target.getvalue()


__all__ = ["COMMENT", "crafted", "mutations"]
