"""What the record holds for a listing, as plain values; each row beside the name of its record."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Told:
    """One public statement: its text, how it is known, when it happened in words, and where it stands.

    `standing` is one of evidence.RISING, or "" for what the grade alone gives; `relation` a key of
    wording.RELATIONS: who told us reaches no listing by name.
    """

    text: str
    grade: str
    dated: str = ""
    source_note: str = ""
    in_their_words: bool = False
    standing: str = ""
    relation: str = ""
    record: str = ""


@dataclass(frozen=True)
class Work:
    name: str
    result: str = ""
    measured: str = ""
    done_on: str = ""
    limit: str = ""
    record: str = ""


@dataclass(frozen=True)
class Fault:
    part: str
    condition: str
    note: str = ""
    record: str = ""


@dataclass(frozen=True)
class Touch:
    """Keys inside the limit, of those weighed, at a weigh-off after work."""

    inside: int
    weighed: int
    tolerance_g: str
    day: str
    record: str = ""


@dataclass(frozen=True)
class ListingFacts:
    maker: str
    kind: str
    made: str = ""
    made_basis: str = ""
    made_is_told: bool = False
    name_on_fall: str = ""
    model: str = ""
    serial: str = ""
    serial_read_at: str = ""
    size: str = ""
    tall: str = ""
    compass: str = ""
    build: str = ""
    case: str = ""
    naturals: str = ""
    clearance: str = ""
    touch: Touch | None = None
    statements: tuple[Told, ...] = ()
    done: tuple[Work, ...] = ()
    left: tuple[Work, ...] = ()
    faults: tuple[Fault, ...] = ()
    not_examined: tuple[str, ...] = ()
    is_examined: bool = True
    maker_is_known: bool = True
    price: str = ""
    price_record: str = ""
    trial_days: int = 0
    address: str = ""

    @property
    def name(self) -> str:
        kind = self.kind.lower()
        return f"{self.maker} {kind}" if self.maker_is_known else f"{self.kind}, maker unknown"
