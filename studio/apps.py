from __future__ import annotations

from django.apps import AppConfig


class StudioConfig(AppConfig):
    name = "studio"
    verbose_name = "Studio"

    def ready(self) -> None:
        # Registering the start-up checks needs the app registry to be ready.
        from studio import checks  # noqa: F401, PLC0415
