"""The nine categories by which an object can be known again. Source: ICOM, Object ID (icom.museum)."""

from collections.abc import Iterable, Mapping

CATEGORIES = (
    "type of object",
    "materials and techniques",
    "measurements",
    "inscriptions and markings",
    "distinguishing features",
    "title",
    "subject",
    "date or period",
    "maker",
)
NOT_APPLICABLE = "not applicable"
MAY_NOT_APPLY = {"title", "subject"}


def object_id_gaps(record: Mapping[str, str]) -> tuple[str, ...]:
    """The categories without an answer, in their order; for title and subject “not applicable” is one."""
    return tuple(name for name in CATEGORIES if not _is_answered(name, record.get(name, "")))


def _is_answered(name: str, words: str) -> bool:
    answer = words.strip().casefold()
    return bool(answer) and (answer != NOT_APPLICABLE or name in MAY_NOT_APPLY)


def object_id_record(
    *,
    kind: str,
    materials: str,
    measurements: str,
    features: str,
    date: str,
    maker: str,
    serial: str = "",
    serial_read_at: str = "",
    marks: Iterable[str] = (),
) -> dict[str, str]:
    """The record of an instrument: its serial number goes with the inscriptions and markings.

    A piano has no title and no subject, and the record says so.
    """
    where = f", {serial_read_at}" if serial and serial_read_at else ""
    inscriptions = [f"serial number {serial}{where}"] if serial else []
    inscriptions += [mark for mark in marks if mark.strip()]
    answers = [kind, materials, measurements, "; ".join(inscriptions), features]
    answers += [NOT_APPLICABLE, NOT_APPLICABLE, date, maker]
    return dict(zip(CATEGORIES, answers, strict=True))
