"""What papers are made of, as plain data: no ReportLab, no database."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path


@dataclass(frozen=True)
class Party:
    """A shop or a person as a paper names them. The address may have several lines."""

    name: str
    address: str = ""
    contacts: tuple[str, ...] = ()


@dataclass(frozen=True)
class Fact:
    label: str
    value: str
    basis: str = ""  # how we know it; printed small below the value


@dataclass(frozen=True)
class Photo:
    """An upright JPEG of at most some 2,000 pixels, as its bytes or the file that holds them."""

    jpeg: bytes | Path
    caption: str = ""
    alt: str = ""

    def read(self) -> bytes:
        return self.jpeg.read_bytes() if isinstance(self.jpeg, Path) else self.jpeg


@dataclass(frozen=True)
class DoneItem:
    text: str
    done_on: date | None = None
    measured: str = ""


@dataclass(frozen=True)
class ConditionLine:
    part: str
    grade: str
    note: str = ""


@dataclass(frozen=True)
class Clause:
    heading: str
    text: str


@dataclass(frozen=True)
class MoneyLine:
    label: str
    amount: str
    note: str = ""
    strong: bool = False  # a sum: set strong, with a rule above it
