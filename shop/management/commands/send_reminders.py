from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from shop import read_only
from shop.actions.letters import mail_is_set
from shop.actions.reminders import due_reminders, send_reminders
from shop.actions.tellings import send_tellings
from shop.tellings import to_tell

NO_SERVER = "No mail server is set (WRESTPLANK_MAIL_HOST), so nothing was sent and nothing changed."


class Command(BaseCommand):
    help = (
        "Remind by e-mail of holds and home trials that end (14, 7, 0 days before, once after), and tell "
        "those who asked for it of what came into the window. Run daily."
    )

    def handle(self, **options):
        if why := read_only.reason():
            raise CommandError(f"Nothing was sent, since nothing can be written down just now: {why}.")
        on = timezone.localdate()
        if not mail_is_set():
            count = sum(1 for _ in due_reminders(on=on)) + len(to_tell())
            self.stdout.write(f"{NO_SERVER} Due today: {count}; who sells reads it on Today.")
            return
        run = send_reminders(on=on)
        told = None if run.was_broken_off else send_tellings()
        sent, failed = (
            [*run.sent, *(told.sent if told else ())],
            [*run.failed, *(told.failed if told else ())],
        )
        for line in sent:
            self.stdout.write(f"Sent: {line}")
        for line in failed:
            self.stderr.write(f"Not sent: {line}")
        if told and told.kept_back:
            self.stdout.write(told.kept_back)
        if failed:
            rest = " The rest waits for the next run." if run.was_broken_off else ""
            raise CommandError(f"{len(failed)} not sent; tried again by the next run.{rest}", returncode=1)
        self.stdout.write(f"{len(sent)} sent." if sent else "Nothing was due that had not gone out.")
