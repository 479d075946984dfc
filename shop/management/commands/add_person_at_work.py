import getpass
import sys

from django.core.management.base import BaseCommand, CommandError

from instruments.problems import Blocked
from shop.actions.roles import role_table
from shop.actions.staff import add_person_at_work


class Command(BaseCommand):
    help = "Give somebody a login. The password is asked for, or read as one line from standard input."

    def add_arguments(self, parser):
        parser.add_argument("username")
        parser.add_argument("--name", required=True, help="as it stands on papers and in the history")
        parser.add_argument(
            "--role", action="append", required=True, choices=role_table(), help="may be given several times"
        )

    def handle(self, *, username, name, role, **options):
        try:
            user = add_person_at_work(username=username, name=name, password=asked_password(), roles=role)
        except Blocked as refusal:
            raise CommandError(str(refusal)) from None
        self.stdout.write(f"{user.get_full_name()} can log in as {user.username} ({', '.join(role)}).")


def asked_password() -> str:
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\r\n")
    password = getpass.getpass("Password: ")
    if getpass.getpass("The same once more: ") != password:
        raise CommandError("The two were not the same. Nothing was done.")
    return password
