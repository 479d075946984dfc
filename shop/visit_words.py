"""What was written of a visit, in the words of the piano: pitch found and left, the air, what was done."""

from instruments.calc.climate import equilibrium_moisture_percent
from instruments.calc.exact import plain
from instruments.calc.pitch import deviation_cents
from instruments.calc.pitch_surveys import deviation_words, heard_hz
from shop.models import VisitRecord

A4_KEY = 49


def pitch_words(record: VisitRecord) -> str:
    """ "A4 found 436.2 Hz (15 cents flat), left 440 Hz (in pitch)"; "" where nobody measured."""
    said = [
        f"{word} {_one(value, record)}"
        for word, value in (("found", record.pitch_found), ("left", record.pitch_left))
        if value is not None
    ]
    return f"A4 {', '.join(said)}" if said else ""


def short_pitch_words(record: VisitRecord) -> str:
    """ "found 436.2, left 440.0 Hz", for a column of a card; "" where nobody measured."""
    pairs = (("found", record.pitch_found), ("left", record.pitch_left))
    said = [f"{word} {_heard(value, record):.1f}" for word, value in pairs if value is not None]
    return f"{', '.join(said)} Hz" if said else ""


def _one(value, record: VisitRecord) -> str:
    heard = _heard(value, record)
    off = deviation_cents(A4_KEY, heard, float(record.a4_hz))
    return f"{heard:.1f} Hz ({deviation_words(off)})"


def _heard(value, record: VisitRecord) -> float:
    return heard_hz(A4_KEY, float(value), record.pitch_unit, float(record.a4_hz))


def air_words(record: VisitRecord) -> str:
    """ "48 % RH, 19 °C", or less where less is known."""
    said = []
    if record.humidity_percent is not None:
        said.append(f"{plain(record.humidity_percent)} % RH")
    if record.temperature_c is not None:
        said.append(f"{plain(record.temperature_c)} °C".replace("-", "−"))
    return ", ".join(said)


def moisture_words(record: VisitRecord) -> str:
    """To what moisture this air brings the wood; guidance, see `calc.climate`."""
    if record.humidity_percent is None or record.temperature_c is None:
        return ""
    moisture = equilibrium_moisture_percent(float(record.temperature_c), float(record.humidity_percent))
    return f"wood comes to rest at about {moisture:.1f} % moisture"


def visit_lines(record: VisitRecord) -> list[tuple[str, str]]:
    """What may be read by anybody who sees the instrument, each with what it is."""
    air = ", ".join(filter(None, [air_words(record), moisture_words(record)]))
    said = (
        ("Pitch", pitch_words(record)),
        ("Air", air),
        ("Done", record.work),
        ("Where", f"Notes {record.keys}" if record.keys else ""),
    )
    return [(label, words) for label, words in said if words]
