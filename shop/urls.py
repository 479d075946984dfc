"""Where each address leads. Names without a namespace are the project's own, open to every app."""

from django.contrib.auth import views as auth_views
from django.urls import include, path

from shop.views.health import health

urlpatterns = [
    path("healthz", health, name="health"),
    path("login/", auth_views.LoginView.as_view(), name="login"),
    path("logout/", auth_views.LogoutView.as_view(), name="logout"),
    path("", include("instruments.urls")),
    path("", include("workorders.urls")),
]

handler500 = "shop.views.errors.server_error"
