"""Every address of the portal; `tests/access_matrix.py` names who may use each."""

from django.urls import include, path
from django.views.decorators.http import require_GET
from drf_spectacular.views import SpectacularAPIView, SpectacularSwaggerSplitView

from portal import views

handler404 = views.not_found
handler500 = views.failed

urlpatterns = [
    path("", include("network.urls")),
    path("", include("diagnostics.urls")),
    path("", include("parts.urls")),
    path("", include("jobs.urls")),
    path("home/", views.home, name="home"),
    path("alive", views.alive, name="alive"),
    path("ready", views.ready, name="ready"),
    path("account/", include("allauth.urls")),
    path("api/schema/", SpectacularAPIView.as_view(), name="schema"),
    path("api/docs/", require_GET(SpectacularSwaggerSplitView.as_view(url_name="schema")), name="docs"),
]
