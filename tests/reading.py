"""Reading a printed paper back, to see what a person and a machine would find on it."""

import re
from dataclasses import dataclass
from functools import cached_property
from io import BytesIO

from pypdf import PdfReader

FOOT_LINE, RUNNING_HEAD = 60, 775  # points from the foot of the page


@dataclass(frozen=True)
class Reading:
    pdf: bytes

    @cached_property
    def reader(self) -> PdfReader:
        return PdfReader(BytesIO(self.pdf), strict=True)

    @cached_property
    def page_texts(self) -> list[str]:
        return [page.extract_text() for page in self.reader.pages]

    @property
    def text(self) -> str:
        return " ".join("\n".join(self.page_texts).split())

    @cached_property
    def squeezed(self) -> str:
        """All that stands between running heads and foot lines, without any space."""
        runs = (run for page in range(self.page_count) for run in self.places(page) if _in_body(page, run[2]))
        return squeeze("".join(text for text, *_ in runs))

    def places(self, page: int) -> list[tuple[str, float, float, float]]:
        """Each run of text with where it begins, in points from the left and the foot, and its size."""
        found = []

        def note(text, canvas, line, _font, size):
            if text.strip():
                found.append((text.strip(), canvas[4] + line[4], canvas[5] + line[5], size))

        self.reader.pages[page].extract_text(visitor_text=note)
        return found

    @property
    def page_count(self) -> int:
        return len(self.reader.pages)

    @property
    def fonts(self) -> dict[str, bool]:
        """Name of each font any page refers to, and whether it travels with the file."""
        found = {}
        for page in self.reader.pages:
            for font in page["/Resources"]["/Font"].values():
                font = font.get_object()
                descriptor = font.get("/FontDescriptor", {})
                found[font["/BaseFont"]] = "/FontFile2" in descriptor
        return found

    @property
    def picture_count(self) -> int:
        """How many different pictures the file holds."""
        forms = [page["/Resources"].get("/XObject", {}) for page in self.reader.pages]
        return len({name for form in forms for name in form})

    @property
    def annotation_count(self) -> int:
        return sum(len(page.get("/Annots", [])) for page in self.reader.pages)

    @cached_property
    def elements(self) -> list[tuple[str, str]]:
        """Every structure element in reading order, with its words for those who cannot see it."""
        return list(_elements(self.reader.trailer["/Root"]["/StructTreeRoot"]["/K"].get_object()))

    @property
    def kinds(self) -> list[str]:
        return [kind for kind, _ in self.elements]


def _elements(element):
    yield element["/S"][1:], str(element.get("/Alt", ""))
    for child in element.get("/K", []):
        child = child.get_object()
        if isinstance(child, dict) and "/S" in child:
            yield from _elements(child)


def _in_body(page: int, height: float) -> bool:
    return FOOT_LINE < height < (RUNNING_HEAD if page else 842)


def squeeze(text: str) -> str:
    """Without any space, since where a line ends is nobody's business."""
    return re.sub(r"\s+", "", text)


def shown(client, address: str):
    """What an address shows; of a paper that is not printed yet, the paper, after a press."""
    answer = client.get(address)
    is_offered = not answer.streaming and f'formaction="{address}"'.encode() in answer.content
    return printed(client, address) if is_offered else answer


def printed(client, address: str):
    """The answer to a press of the button that prints a paper: what its address then shows."""
    return client.post(address, follow=True)
