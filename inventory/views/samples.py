"""The register of samples: where each is, and whether it may be sold."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from inventory import actions as stock
from inventory.forms import samples as forms
from inventory.models import Item, Sample
from inventory.promise_words import in_words
from inventory.views.answers import Done, answer, page, sorry
from inventory.views.catalogue import items_known
from studio.access import OWNER, StudioRequest, for_roles
from studio.errors import StudioError


@dataclass(frozen=True)
class SampleRow:
    """One sample, and what must be said about the fabric it is sewn in."""

    sample: Sample
    uses: tuple[Item, ...]
    warning: str

    @property
    def hours(self) -> int:
        return self.sample.sewing_minutes // 60


def sample_rows() -> list[SampleRow]:
    """Return the register, with a warning for fabric nobody can buy: four queries."""
    samples: QuerySet[Sample] = Sample.objects.select_related("place").prefetch_related(
        "uses__contents"
    )
    instead = replacement()
    return [
        SampleRow(one, tuple(one.uses.all()), warning_of(one, instead))
        for one in samples
    ]


def replacement() -> Item | None:
    """Return a bundle that can be bought again and is used by another sample."""
    return (
        Item.objects.filter(
            kind=Item.Kind.BUNDLE, out_of_print=False, samples__isnull=False
        )
        .order_by("-code")
        .first()
    )


def warning_of(sample: Sample, instead: Item | None) -> str:
    gone = [item for item in sample.uses.all() if item.out_of_print]
    if not gone or sample.state == Sample.State.SOLD:
        return ""
    say = (
        f"say so, or show {range_of(instead)}" if instead else "say so when it is shown"
    )
    return (
        f"{sample.code} is sewn in {range_of(gone[0])}, which cannot be bought any "
        f"more: {say}."
    )


def range_of(item: Item) -> str:
    contents = getattr(item, "contents", None)
    return contents.range_name if contents and contents.range_name else item.name


@for_roles(OWNER)
@require_GET
def samples(request: StudioRequest) -> HttpResponse:
    rows = sample_rows()
    return page(
        request,
        "inventory/samples.html",
        {"rows": rows, "sentence": samples_sentence(rows)},
    )


def samples_sentence(rows: list[SampleRow]) -> str:
    kept = [row for row in rows if row.sample.state != Sample.State.SOLD]
    if not kept:
        return "No sample is in the register yet."
    warned = sum(1 for row in kept if row.warning)
    things = "sample is" if len(kept) == 1 else "samples are"
    begin = f"{in_words(len(kept))} {things} kept for showing"
    if not warned:
        return f"{begin}."
    one = "one is sewn" if warned == 1 else f"{in_words(warned).lower()} are sewn"
    return f"{begin}; {one} in fabric that nobody can buy."


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def sample_add(request: StudioRequest) -> HttpResponse:
    form = forms.SampleForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        sample = stock.add_sample(
            code=typed["code"],
            name=typed["name"],
            place=typed["place"],
            uses=form.uses(),
            sewing_minutes=(typed["sewing_hours"] or 0) * 60,
            note=typed["note"],
        )
        return answer(request, Done(f"{sample} is in the register."), register())
    context = {
        "form": form,
        "question": "What is the new sample?",
        "button": "Add it",
        "items_known": items_known(),
    }
    return render(request, "inventory/plain_form.html", context)


def register() -> str:
    return reverse("inventory:samples")


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def sample_move(request: StudioRequest, code: str) -> HttpResponse:
    sample = get_object_or_404(Sample, code=code)
    form = forms.MoveSampleForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        stock.move_sample(sample, place=form.cleaned_data["place"])
        done = Done(f"{sample} is now in {sample.place}.")
        return answer(request, done, register())
    context = {"form": form, "question": f"Where does {sample.name} go?"}
    context["button"] = "Move it"
    return render(request, "inventory/plain_form.html", context)


@for_roles(OWNER)
@require_http_methods(["GET", "POST"])
def sample_release(request: StudioRequest, code: str) -> HttpResponse:
    sample = get_object_or_404(Sample, code=code)
    form = forms.ReleaseSampleForm(
        request.POST or None, initial={"price_pence": sample.price_pence}
    )
    if request.method == "POST" and form.is_valid():
        try:
            stock.release_sample(sample, price_pence=form.cleaned_data["price_pence"])
        except StudioError as error:
            form.refuse(error)
        else:
            done = Done(
                f"{sample.name} may be sold, once.",
                reverse("inventory:sample_keep", args=[sample.code]),
                "Keep it after all",
            )
            return answer(request, done, register())
    context = {"form": form, "question": f"For how much may {sample.name} be sold?"}
    context["button"] = "Release it for sale"
    return render(request, "inventory/plain_form.html", context)


@for_roles(OWNER)
@require_POST
def sample_keep(request: StudioRequest, code: str) -> HttpResponse:
    sample = stock.keep_sample(get_object_or_404(Sample, code=code))
    return answer(request, Done(f"{sample} is kept for showing."), register())


@for_roles(OWNER)
@require_POST
def sample_sell(request: StudioRequest, code: str) -> HttpResponse:
    sample = get_object_or_404(Sample, code=code)
    try:
        stock.sell_sample(sample)
    except StudioError as error:
        return sorry(request, error, register())
    done = Done(
        f"{sample.name} is sold.",
        reverse("inventory:sample_keep", args=[sample.code]),
        "It is not sold after all",
    )
    return answer(request, done, register())
