app_name = "workorders"
urlpatterns = []
