app_name = "instruments"
urlpatterns = []
