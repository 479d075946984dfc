from django.apps import AppConfig


class InstrumentsConfig(AppConfig):
    name = "instruments"

    def ready(self):
        from instruments import checks  # noqa: F401  registers the check of the tell-tales
