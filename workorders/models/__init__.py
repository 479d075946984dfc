from workorders.models.bench_cost import BenchRate, PartUsed, TimeSpent
from workorders.models.item import WorkItem
from workorders.models.order import WorkOrder
from workorders.models.task import Task

__all__ = ["BenchRate", "PartUsed", "Task", "TimeSpent", "WorkItem", "WorkOrder"]
