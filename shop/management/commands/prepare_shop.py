from django.core.management.base import BaseCommand

from instruments.actions.measures import load_pin_lines
from instruments.actions.tell_tales import load_tell_tales
from shop.actions.care_terms import load_guarantee_parts
from shop.actions.roles import load_roles
from shop.actions.terms import load_clauses
from shop.db.statistics import keep_statistics
from workorders.actions.suggestions import load_suggestions
from workorders.actions.tasks import load_task_sets, load_tasks
from workorders.models import Task


class Command(BaseCommand):
    help = "Load roles, tasks, terms, tell-tales, lines for pins; after every update, twice does no harm."

    def handle(self, **options):
        roles = load_roles()
        self.stdout.write(f"Roles: {', '.join(role.name for role in roles)}.")
        changed = load_tasks()
        self.stdout.write(
            f"Task library: {len(changed)} of {Task.objects.count()} tasks added or brought up to date."
        )
        self.stdout.write(f"Ready-made sets: {len(load_task_sets())} added or brought up to date.")
        self.stdout.write(f"Suggested tasks: {len(load_suggestions())} added or brought up to date.")
        self.stdout.write(f"Clauses of our terms: {len(load_clauses())} added or brought up to date.")
        self.stdout.write(
            f"Parts of our guarantee: {len(load_guarantee_parts())} added or brought up to date."
        )
        self.stdout.write(f"Tell-tales: {len(load_tell_tales())} added.")
        self.stdout.write(f"Lines to count pins by: {len(load_pin_lines())} added.")
        keep_statistics()
