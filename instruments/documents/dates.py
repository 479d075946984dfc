"""Dates as a paper says them."""

from datetime import date

MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def day_in_words(day: date) -> str:
    """14 March 2026, whatever the machine's locale."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def weekday_in_words(day: date) -> str:
    return f"{WEEKDAYS[day.weekday()]} {day_in_words(day)}"
