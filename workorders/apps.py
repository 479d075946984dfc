from django.apps import AppConfig
from django.db.models.signals import post_migrate


class WorkordersConfig(AppConfig):
    name = "workorders"

    def ready(self):
        from instruments.tunings import know_tunings_by
        from workorders import checks  # noqa: F401  registers the check of the task library
        from workorders.db.order_of_work import install_guards
        from workorders.tunings import tuned_at_the_bench

        know_tunings_by(tuned_at_the_bench)
        post_migrate.connect(install_guards, sender=self)
