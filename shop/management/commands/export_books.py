import sys
from datetime import date
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from instruments.exports import csv_lines, write_xlsx
from shop.book_export import book_table
from shop.models import BookLine


def day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise CommandError(f"{text} is not a day; write it like 2026-03-31.") from None


class Command(BaseCommand):
    help = "Write the lines of the books between two days as a table; to the terminal without --output."

    def add_arguments(self, parser):
        parser.add_argument("--from", dest="starts_on", type=day, required=True, metavar="DATE")
        parser.add_argument("--to", dest="ends_on", type=day, required=True, metavar="DATE")
        parser.add_argument("--format", choices=("csv", "xlsx"), default="csv")
        parser.add_argument("--output", type=Path, metavar="FILE")

    def handle(self, *, starts_on, ends_on, format, output, **options):
        if ends_on < starts_on:
            raise CommandError("The last day lies before the first.")
        table = book_table(BookLine.objects.between(starts_on, ends_on))
        try:
            if output:
                with output.open("xb") as target:
                    write_table(target, format, *table)
            else:
                write_table(sys.stdout.buffer, format, *table)
        except FileExistsError:
            raise CommandError(f"{output} is there already; name another file.") from None
        except OSError as reason:
            raise CommandError(f"{output} cannot be written: {reason.strerror}.") from None


def write_table(target, format: str, heading, rows) -> None:
    if format == "xlsx":
        write_xlsx(target, heading, rows, title="Books")
        return
    for line in csv_lines(heading, rows):
        target.write(line.encode())
