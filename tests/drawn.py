"""Small pictures made on the spot."""

from io import BytesIO

from PIL import Image, ImageDraw


def jpeg(width: int = 400, height: int = 300, *, shade: int = 90, mode: str = "RGB", **options) -> bytes:
    picture = Image.new("RGB", (width, height), (232, 222, 200))
    ImageDraw.Draw(picture).rectangle(
        (width // 4, height // 5, width * 3 // 4, height * 4 // 5), fill=(shade, 58, 36)
    )
    stream = BytesIO()
    picture.convert(mode).save(stream, "JPEG", quality=80, **options)
    return stream.getvalue()
