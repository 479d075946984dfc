"""Days written for a calendar: iCalendar, RFC 5545 (CRLF 3.1, text 3.3.11, event 3.6.1, alarm 3.6.6)."""

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

MOST_OCTETS = 75
REMIND_DAYS_BEFORE = (14, 7, 0)
ESCAPED = {"\\": "\\\\", ";": "\\;", ",": "\\,", "\n": "\\n"}


@dataclass(frozen=True)
class CalendarDay:
    """`uid` is the same for every copy of one event, so that a later one replaces it (3.8.4.7).

    `revision` grows by one whenever the day was changed (SEQUENCE, 3.8.7.4).
    """

    uid: str
    day: date
    summary: str
    description: str = ""
    revision: int = 0


def calendar_file(days: Iterable[CalendarDay], *, written_at: datetime) -> bytes:
    """All-day events with reminders 14, 7 and 0 days before; `written_at` must carry its time zone."""
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Wrestplank//Days//EN", "CALSCALE:GREGORIAN"]
    for each in days:
        lines += _event(each, f"{written_at.astimezone(UTC):%Y%m%dT%H%M%SZ}")
    lines.append("END:VCALENDAR")
    return b"".join(folded(line) + b"\r\n" for line in lines)


def _event(each: CalendarDay, stamp: str) -> list[str]:
    lines = [
        "BEGIN:VEVENT",
        f"UID:{escaped(each.uid)}",
        f"DTSTAMP:{stamp}",
        f"SEQUENCE:{each.revision}",
        f"DTSTART;VALUE=DATE:{each.day:%Y%m%d}",
        f"DTEND;VALUE=DATE:{each.day + timedelta(days=1):%Y%m%d}",
        "TRANSP:TRANSPARENT",
        f"SUMMARY:{escaped(each.summary)}",
        f"DESCRIPTION:{escaped(each.description)}",
    ]
    for days in REMIND_DAYS_BEFORE:
        trigger = f"-P{days}D" if days else "PT0S"
        lines += ["BEGIN:VALARM", "ACTION:DISPLAY", f"TRIGGER:{trigger}"]
        lines += [f"DESCRIPTION:{escaped(each.summary)}", "END:VALARM"]
    return [*lines, "END:VEVENT"]


def escaped(text: str) -> str:
    """Text as a value: line ends as \\n, the four special characters escaped, other controls left out."""
    plain = text.replace("\r\n", "\n").replace("\r", "\n")
    kept = (c for c in plain if c in "\n\t" or unicodedata.category(c) not in {"Cc", "Cs"})
    return "".join(ESCAPED.get(c, c) for c in kept)


def folded(line: str) -> bytes:
    """A content line in UTF-8, broken so that none is over 75 octets and no character is torn."""
    rows, row = [], b""
    for character in line:
        octets = character.encode()
        if len(row) + len(octets) > MOST_OCTETS:
            rows.append(row)
            row = b" "
        row += octets
    return b"\r\n".join([*rows, row])
