"""What can be measured of a part with hand, rule or ear, and how it is put into words."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from instruments.calc.exact import exact, plain


@dataclass(frozen=True)
class Measure:
    """A figure with its unit and bounds, or a test with its answers; how to take it and what it says."""

    code: str
    part: str
    name: str
    how: str
    reads: str
    source: str
    unit: str = ""
    least: int = 0
    most: int = 0
    answers: tuple[tuple[str, str], ...] = ()

    def words_of(self, answer: str) -> str:
        return dict(self.answers).get(answer, answer)


def measures_from(table: Iterable[dict]) -> tuple[Measure, ...]:
    """The measures of a table without faults (rows as in fixtures/condition_measures.json)."""
    return tuple(
        Measure(**row | {"answers": tuple((each["code"], each["words"]) for each in row.get("answers", []))})
        for row in table
    )


def measure_faults(table: Sequence[dict], parts: Iterable[str]) -> list[str]:
    """A sentence for each fault in a table of measures; [] when a report can be filled in by it."""
    known = set(parts)
    twice = [code for code, count in Counter(row["code"] for row in table).items() if count > 1]
    faults = [f"{code} stands there twice." for code in twice]
    for row in table:
        faults += [
            f"{row['code']}: “{name}” is empty." for name in ("name", "how", "source") if not row[name]
        ]
        if row["part"] not in known:
            faults.append(f"{row['code']}: there is no part “{row['part']}”.")
        if bool(row.get("unit")) == bool(row.get("answers")):
            faults.append(f"{row['code']} needs either a unit or answers.")
        elif row.get("unit") and row["least"] >= row["most"]:
            faults.append(f"{row['code']}: its bounds leave nothing between them.")
    return faults


def measured_words(name: str, number: Decimal | None, answer: str, unit: str) -> str:
    """ "crown: 3 mm", "lifted sharp: stays"; a unit that the name says already is not said twice."""
    is_said = f" {unit} " in f" {name.replace(',', ' ')} "
    figure = answer if number is None else " ".join([plain(exact(number)), "" if is_said else unit]).strip()
    return f"{name}: {figure}" if name else figure
