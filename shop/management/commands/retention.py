from django.core.management.base import BaseCommand
from django.utils import timezone

from shop.actions.enquiry_erasing import erase_enquiry, past_their_time
from shop.actions.erasing import remove_kept
from shop.actions.over_time import let_go, past_their_length
from shop.retention import still_kept


class Command(BaseCommand):
    help = (
        "Erase the names, words and papers of people who asked to be erased, once the years are over for "
        "which the books had to keep them; and enquiries, offers, wishes and places that led to nothing, "
        "after the time that fixtures/retention.json gives them. Sums and days stay."
    )

    def add_arguments(self, parser):
        parser.add_argument("--dry-run", action="store_true", help="say what would go and change nothing")

    def handle(self, *, dry_run, **options):
        on = timezone.localdate()
        kept = still_kept()
        due = [each for each in kept if each.until and each.until <= on]
        for each in due:
            if not dry_run:
                remove_kept(person=each.person, on=on)
            did = "would be erased now" if dry_run else "are erased"
            self.stdout.write(
                f"Person no. {each.person.pk}: what was kept until {each.until:%-d %B %Y} is over its time. "
                f"The last names, words and papers {did}; sums and days stay."
            )
        asked = past_their_time(on=on)
        for enquiry in asked:
            if not dry_run:
                erase_enquiry(enquiry=enquiry, why="its time is over", by=None, on=on)
            did = "would be erased now" if dry_run else "is erased"
            self.stdout.write(f"Enquiry {enquiry.number}, closed {enquiry.closed_on:%-d %B %Y}: it {did}.")
        ended = past_their_length(on=on)
        for over in ended:
            if not dry_run:
                let_go(over)
            self.stdout.write(f"{over}: it {'would be erased now' if dry_run else 'is erased'}.")
        if not due and not asked and not ended:
            self.stdout.write("Nothing has passed its day. Nothing was erased.")
        self._say_what_waits([each for each in kept if each not in due])

    def _say_what_waits(self, waiting):
        count = len(waiting)
        people = f"{count} {'person' if count == 1 else 'people'}"
        if not waiting:
            self.stdout.write("Of nobody else who asked to be erased is anything kept.")
            return
        days = [each.until for each in waiting if each.until]
        first = f" The next day is {min(days):%-d %B %Y}." if days else ""
        self.stdout.write(f"Of {people} who asked to be erased something is still kept for the books.{first}")
