"""Read back by RFC 5545: lines end in CRLF and are unfolded (3.1), text is unescaped (3.3.11)."""

import re
from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.calc.icalendar import CalendarDay, calendar_file, folded

AT = datetime(2026, 3, 21, 10, 5, tzinfo=UTC)
HOSTILE = "Ends\r\nEND:VEVENT\nATTACH:x; a, b \\n \x00\x85\u2028 \U0001f3b9" + "ß" * 90


def lines_of(written: bytes) -> list[str]:
    assert written.endswith(b"\r\n")
    physical = written[:-2].split(b"\r\n")
    assert all(len(line) <= 75 and b"\n" not in line and b"\r" not in line for line in physical)
    for line in physical:
        line.decode()
    return written[:-2].decode().replace("\r\n ", "").split("\r\n")


def unescaped(value: str) -> str:
    return re.sub(r"\\(.)", lambda found: "\n" if found[1] in "nN" else found[1], value)


def values(lines: list[str], name: str) -> list[str]:
    return [line.partition(":")[2] for line in lines if re.split("[:;]", line)[0] == name]


def one(summary: str) -> list[str]:
    day = CalendarDay(uid="promise-1@P26-001", day=date(2026, 12, 31), summary=summary)
    return lines_of(calendar_file([day], written_at=AT))


def test_an_event_lasts_its_day_and_reminds_three_times():
    lines = one("Home trial ends")
    assert values(lines, "UID") == ["promise-1@P26-001"]
    assert values(lines, "DTSTAMP") == ["20260321T100500Z"]
    assert "DTSTART;VALUE=DATE:20261231" in lines
    assert "DTEND;VALUE=DATE:20270101" in lines  # 3.6.1: the end is not part of the event
    assert values(lines, "TRIGGER") == ["-P14D", "-P7D", "PT0S"]
    assert values(lines, "VERSION") == ["2.0"]


@pytest.mark.parametrize("kind", ["VCALENDAR", "VEVENT", "VALARM"])
def test_what_is_hostile_opens_and_closes_nothing(kind):
    lines, plain = one(HOSTILE), one("Plain")
    assert lines.count(f"BEGIN:{kind}") == lines.count(f"END:{kind}") == plain.count(f"END:{kind}")
    assert not values(lines, "ATTACH")


def test_hostile_text_is_read_back_as_it_was_but_for_controls():
    wanted = HOSTILE.replace("\r\n", "\n").replace("\x00", "").replace("\x85", "")
    assert unescaped(values(one(HOSTILE), "SUMMARY")[0]) == wanted


@given(st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=300))
def test_any_text_is_folded_whole_and_read_back(text):
    assert unescaped(values(one(text), "SUMMARY")[0]) == text


@pytest.mark.parametrize("count", [74, 75, 76, 149, 150])
def test_a_line_is_folded_only_past_75_octets(count):
    assert len(folded("x" * count).split(b"\r\n ")) == 1 + (count > 75) + (count > 149)
