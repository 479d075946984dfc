"""Calendar quarters, which most returns are made for (common practice; a shop's own may be shifted)."""

from datetime import date, timedelta


def quarter_start(day: date) -> date:
    """The first day of the calendar quarter."""
    return date(day.year, (day.month - 1) // 3 * 3 + 1, 1)


def quarter_end(day: date) -> date:
    """The last day of the calendar quarter."""
    year, month = day.year, quarter_start(day).month + 3
    return date(year + month // 13, (month - 1) % 12 + 1, 1) - timedelta(days=1)
