"""The price list of the post as one sheet: a box for each format and service."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from django.core.exceptions import ValidationError
from django.forms import BoundField

from orders.models import PostFormat, PostService
from studio.forms import DayField, PoundsField, StudioForm

MOST_PENCE = 50_000


class PostPricesForm(StudioForm):
    """Prices from a day on; an empty box is a service that is not used."""

    valid_from = DayField(label="They hold from")

    def __init__(
        self,
        *args: Any,
        formats: Iterable[PostFormat],
        services: Iterable[PostService],
        known: Mapping[tuple[int, int], int],
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.formats, self.services = list(formats), list(services)
        for fmt in self.formats:
            for service in self.services:
                self.fields[self.box(fmt, service)] = PoundsField(
                    required=False,
                    label=f"{fmt.name}, {service.name.lower()}",
                    initial=known.get((fmt.pk, service.pk)),
                )

    @staticmethod
    def box(fmt: PostFormat, service: PostService) -> str:
        return f"price_{fmt.pk}_{service.pk}"

    def rows(self) -> Iterator[tuple[PostFormat, list[BoundField]]]:
        for fmt in self.formats:
            yield fmt, [self[self.box(fmt, service)] for service in self.services]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for fmt in self.formats:
            for service in self.services:
                pence = cleaned.get(self.box(fmt, service))
                if pence is not None and not 0 < pence <= MOST_PENCE:
                    self.add_error(
                        self.box(fmt, service),
                        ValidationError(
                            "A price lies between £0.01 and £500.00. "
                            "Leave the box empty where there is none.",
                            code="price",
                        ),
                    )
        return cleaned

    def typed(self) -> Iterator[tuple[PostFormat, PostService, int]]:
        for fmt in self.formats:
            for service in self.services:
                pence = self.cleaned_data.get(self.box(fmt, service))
                if pence is not None:
                    yield fmt, service, pence
