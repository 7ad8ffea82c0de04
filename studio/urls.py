"""Every address of the studio. The apps' own files name the rooms they serve."""

from __future__ import annotations

from importlib.util import find_spec

from django.urls import URLPattern, URLResolver, include, path

from studio.views import people

studio_urls: list[URLPattern | URLResolver] = [
    path("", people.people, name="today"),
    path("sign-in/", people.sign_in, name="sign_in"),
    path("people/", people.people, name="people"),
    path("studio/", people.people, name="studio"),
    path("clock/", people.people, name="clock_move"),
]

urlpatterns: list[URLPattern | URLResolver] = [
    path("", include((studio_urls, "studio"))),
    *(
        path("", include(f"{app}.urls"))
        for app in ("inventory", "orders", "production")
        if find_spec(f"{app}.urls")
    ),
]
