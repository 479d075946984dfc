from django.urls import path

from workorders.views import bench, bench_hours, closing, findings, items, orders, spending, tasks

app_name = "workorders"
urlpatterns = [
    path("bench/", bench.bench, name="bench"),
    path("bench/orders/", orders.order_list, name="order_list"),
    path("bench/hours/", bench_hours.bench_hours, name="bench_hours"),
    path("bench/hours/set/", bench_hours.bench_hours_set, name="bench_hours_set"),
    path("bench/hours/away/", bench_hours.days_away_add, name="days_away_add"),
    path("bench/hours/away/<int:pk>/take-back/", bench_hours.days_away_take_back, name="days_away_take_back"),
    path("bench/rates/", spending.rate_list, name="rate_list"),
    path("bench/tasks/", tasks.task_list, name="task_list"),
    path("bench/tasks/new/", tasks.task_add, name="task_add"),
    path("bench/tasks/suggested/", findings.suggestion_list, name="suggestion_list"),
    path("bench/tasks/suggested/<int:pk>/", findings.suggestion_edit, name="suggestion_edit"),
    path("bench/tasks/<slug:code>/", tasks.task_edit, name="task_edit"),
    path("stock/<str:stock_number>/orders/open/", orders.order_open, name="order_open"),
    path("stock/<str:stock_number>/findings-to-work/", findings.findings_to_work, name="findings_to_work"),
    path("orders/<str:number>/", orders.order_page, name="order_page"),
    path("orders/<str:number>/add/", orders.order_add, name="order_add"),
    path("orders/<str:number>/own/", orders.item_add, name="item_add"),
    path("orders/<str:number>/edit/", orders.order_edit, name="order_edit"),
    path("orders/<str:number>/close/", orders.order_close, name="order_close"),
    path("orders/<str:number>/give-up/", orders.order_give_up, name="order_give_up"),
    path("orders/<str:number>/reopen/", orders.order_reopen, name="order_reopen"),
    path("items/<int:pk>/", items.item_page, name="item_page"),
    path("items/<int:pk>/close/", closing.item_close, name="item_close"),
    path("items/<int:pk>/assign/", items.item_assign, name="item_assign"),
    path("items/<int:pk>/edit/", items.item_edit, name="item_edit"),
    path("items/<int:pk>/needs/", items.item_needs, name="item_needs"),
    path("items/<int:pk>/leave/", items.item_leave, name="item_leave"),
    path("items/<int:pk>/reopen/", items.item_reopen, name="item_reopen"),
    path("items/<int:pk>/time/", spending.item_time, name="item_time"),
    path("items/<int:pk>/part/", spending.item_part, name="item_part"),
    path("time/<int:pk>/take-back/", spending.time_take_back, name="time_take_back"),
    path("parts/<int:pk>/take-back/", spending.part_take_back, name="part_take_back"),
]
