from __future__ import annotations

from django.apps import AppConfig


class StudioConfig(AppConfig):
    name = "studio"
    verbose_name = "Studio"

    def ready(self) -> None:
        # Registering the start-up checks needs the app registry to be ready.
        # The pages of orders know no bench: the wiring tells them when more is made.
        from orders.queries import planned_goods  # noqa: PLC0415
        from studio import checks  # noqa: F401, PLC0415
        from studio.today import bench  # noqa: PLC0415

        planned_goods.declare(bench.planned_by_code)
