from django.urls import path

from workorders.views import items, orders

app_name = "workorders"
urlpatterns = [
    path("orders/<str:number>/", orders.order_page, name="order_page"),
    path("items/<int:pk>/", items.item_page, name="item_page"),
]
