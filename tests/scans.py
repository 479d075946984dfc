"""A small genuine PDF, as a scanner would send it."""

from django.core.files.uploadedfile import SimpleUploadedFile

OBJECTS = (
    b"<< /Type /Catalog /Pages 2 0 R >>",
    b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
    b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 200 100] >>",
)


def pdf_bytes() -> bytes:
    body, places = b"%PDF-1.4\n", []
    for number, content in enumerate(OBJECTS, start=1):
        places.append(len(body))
        body += b"%d 0 obj\n%s\nendobj\n" % (number, content)
    table = b"".join(b"%010d 00000 n \n" % place for place in places)
    head = b"xref\n0 4\n0000000000 65535 f \n"
    return body + head + table + b"trailer\n<< /Size 4 /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n" % len(body)


def pdf_upload(name: str = "invoice.pdf", content: bytes | None = None) -> SimpleUploadedFile:
    return SimpleUploadedFile(name, pdf_bytes() if content is None else content, "application/pdf")
