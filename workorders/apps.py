from django.apps import AppConfig


class WorkordersConfig(AppConfig):
    name = "workorders"

    def ready(self):
        from workorders import checks  # noqa: F401  registers the check of the task library
