from django.apps import AppConfig


class WorkordersConfig(AppConfig):
    name = "workorders"
