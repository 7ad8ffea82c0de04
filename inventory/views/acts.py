"""The acts on an item: each its own small page, with one form and one undo."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from inventory import actions as stock
from inventory.errors import NotThatMany
from inventory.forms import acts as forms
from inventory.models import Balance, Claim, Item, Place, State
from inventory.promise_words import in_words
from inventory.views.answers import Done, answer, undo_entry
from inventory.views.item import item_or_404
from studio import days
from studio.access import OWNER, PACKER, StudioRequest, for_roles
from studio.errors import StudioError

Cleaned = dict[str, Any]


@dataclass(frozen=True)
class Act:
    """A form, the question above it, and what is done with the answer."""

    form: type[forms.ActForm]
    question: str
    button: str
    do: Callable[[Item, Cleaned, StudioRequest], Done]
    roles: tuple[str, ...] = (OWNER,)
    starts_with: Callable[[Item], dict[str, Any]] = lambda _item: {}


def act_view(act: Act) -> Callable[..., HttpResponse]:
    """Make the view of an act: fetch, form, action, answer."""

    @for_roles(*act.roles)
    @require_http_methods(["GET", "POST"])
    def view(request: StudioRequest, code: str) -> HttpResponse:
        item = item_or_404(code)
        form = act.form(
            request.POST or None,
            item=item,
            now=request.now,
            today=request.today,
            initial={**act.starts_with(item), **named_place(request)},
        )
        if request.method == "POST" and form.is_valid():
            done = try_it(act, form, item, request)
            if done is not None:
                return answer(request, done, item.get_absolute_url())
        context = {"item": item, "form": form, "button": act.button}
        context["question"] = act.question.format(name=item.name)
        return render(request, "inventory/item_act.html", context)

    return view


def named_place(request: StudioRequest) -> Cleaned:
    """Begin with the place that a link named."""
    place = request.GET.get("place", "")
    return {"place": int(place)} if place.isdecimal() and len(place) < 10 else {}


def try_it(
    act: Act, form: forms.ActForm, item: Item, request: StudioRequest
) -> Done | None:
    """Do it, or put the sentence of what stands in the way on the form."""
    try:
        return act.do(item, form.cleaned_data, request)
    except StudioError as error:
        form.refuse(error)
        return None


def said(request: StudioRequest, cleaned: Cleaned) -> Cleaned:
    """Return what every act is told: its id, when, and by whom."""
    return {
        "request_id": cleaned["request_id"],
        "now": request.now,
        "by": request.person,
    }


def refuse_more_than_there(
    item: Item, place: Place, state: str, count: int, request_id: Any
) -> None:
    """Refuse to take more than lies there, unless this was done already."""
    if stock.was_said(request_id):
        return
    balance = Balance.objects.filter(item=item, place=place, state=state).first()
    here = balance.count if balance else 0
    if count > here:
        raise NotThatMany(item.code, place.name, count, here)


def make_up(item: Item, cleaned: Cleaned, request: StudioRequest) -> Done:
    count = cleaned["count"]
    entry = stock.make_up(
        item,
        count=count,
        parts_list=cleaned.get("way"),
        overruled_because=cleaned["overruled_because"],
        **said(request, cleaned),
    )
    return Done(
        f"{in_words(count)} made up, and the parts are used.", undo_entry(entry)
    )


def record_count(item: Item, cleaned: Cleaned, request: StudioRequest) -> Done:
    count = stock.record_count(
        item,
        place=cleaned["place"],
        state=cleaned["state"],
        found=cleaned["found"],
        counted_at=cleaned["counted_at"],
        reason=cleaned["reason"],
        **said(request, cleaned),
    )
    if not count.difference:
        return Done(f"Counted {count.found}, as the book had it.")
    more = "more" if count.difference > 0 else "fewer"
    return Done(
        f"Counted {count.found}, {abs(count.difference)} {more} than the book had "
        f"at {days.show_clock(count.counted_at)}. The book is put right.",
        undo_entry(count.entry),
    )


def move(item: Item, cleaned: Cleaned, request: StudioRequest) -> Done:
    here, there, count = cleaned["from_place"], cleaned["to_place"], cleaned["count"]
    state, told = cleaned["state"], said(request, cleaned)
    refuse_more_than_there(item, here, state, count, told["request_id"])
    entry = stock.move_stock(
        item,
        count=count,
        from_place=here,
        to_place=there,
        from_state=state,
        to_state=state,
        **told,
    )
    return Done(f"{count} moved from {here} to {there}.", undo_entry(entry))


def regrade(item: Item, cleaned: Cleaned, request: StudioRequest) -> Done:
    place, count, told = cleaned["place"], cleaned["count"], said(request, cleaned)
    refuse_more_than_there(
        item, place, cleaned["from_state"], count, told["request_id"]
    )
    entry = stock.regrade_stock(
        item,
        count=count,
        place=place,
        from_state=cleaned["from_state"],
        to_state=cleaned["to_state"],
        reason=cleaned["reason"],
        **told,
    )
    label = State(cleaned["to_state"]).label.lower()
    return Done(f"{count} put down as: {label}.", undo_entry(entry))


def mark_incomplete(item: Item, cleaned: Cleaned, request: StudioRequest) -> Done:
    place, told = cleaned["place"], said(request, cleaned)
    refuse_more_than_there(item, place, State.SELLABLE, 1, told["request_id"])
    incomplete = stock.mark_incomplete(
        item,
        place=place,
        lacks={cleaned["piece"]: cleaned["count"]},
        why=cleaned["why"],
        **told,
    )
    return Done(
        f"One set is put down as incomplete: it lacks {cleaned['count']} "
        f"{cleaned['piece'].code}.",
        undo_entry(incomplete.marked_by),
    )


def give_away(item: Item, cleaned: Cleaned, request: StudioRequest) -> Done:
    place, count, told = cleaned["place"], cleaned["count"], said(request, cleaned)
    refuse_more_than_there(item, place, State.SELLABLE, count, told["request_id"])
    entry = stock.give_away(
        item, count=count, place=place, reason=cleaned["reason"], **told
    )
    return Done(f"{count} given away: {cleaned['reason']}.", undo_entry(entry))


def hold(item: Item, cleaned: Cleaned, request: StudioRequest) -> Done:
    claim = stock.claim_stock(
        item,
        count=cleaned["count"],
        kind=Claim.Kind.HOLD,
        label=cleaned["who"],
        until=forms.end_of(cleaned["until"]),
        overruled_because=cleaned["overruled_because"],
        request_id=cleaned["request_id"],
        now=request.now,
    )
    return Done(
        f"{claim.count} held for {claim.label} until "
        f"{days.show_day_short(cleaned['until'])}.",
        reverse("inventory:claim_release", args=[claim.pk]),
        "Release it again",
    )


def keep(item: Item, cleaned: Cleaned, request: StudioRequest) -> Done:
    outlet = cleaned["outlet"]
    claim = stock.claim_stock(
        item,
        count=cleaned["count"],
        kind=Claim.Kind.KEPT,
        label=cleaned["label"] or outlet.name,
        outlet=outlet,
        until=forms.end_of(cleaned["until"]),
        overruled_because=cleaned["overruled_because"],
        request_id=cleaned["request_id"],
        now=request.now,
    )
    return Done(
        f"{claim.count} kept for {claim.label} until "
        f"{days.show_day_short(cleaned['until'])}.",
        reverse("inventory:claim_release", args=[claim.pk]),
        "Release them again",
    )


def buffer(item: Item, cleaned: Cleaned, request: StudioRequest) -> Done:
    count = cleaned["count"]
    stock.set_buffer(
        item, count=count, request_id=cleaned["request_id"], now=request.now
    )
    if not count:
        return Done("Nothing is left unsold any more.")
    return Done(f"{in_words(count)} left unsold, in case the count is wrong.")


def buffer_now(item: Item) -> dict[str, Any]:
    claims = item.claims.filter(kind=Claim.Kind.BUFFER, closed_at=None)
    return {"count": sum(claim.count for claim in claims)}


def look(item: Item, cleaned: Cleaned, request: StudioRequest) -> Done:
    tray, count, told = cleaned["tray"], cleaned["count"], said(request, cleaned)
    refuse_more_than_there(item, tray, State.TO_LOOK_AT, count, told["request_id"])
    verdict, reason = cleaned["verdict"], cleaned["reason"]
    if verdict == State.INCOMPLETE:
        lacks = {cleaned["piece"]: 1}
        found = stock.find_return_incomplete(
            item, tray=tray, lacks=lacks, why=reason, **told
        )
        return Done("One set is put down as incomplete.", undo_entry(found.marked_by))
    if verdict == forms.LookForm.SPOILED:
        entry = stock.spoil_stock(
            item,
            count=count,
            place=tray,
            from_state=State.TO_LOOK_AT,
            reason=reason,
            **told,
        )
        return Done(f"{count} written off as spoiled.", undo_entry(entry))
    entry = stock.look_at_return(
        item, count=count, tray=tray, to_state=verdict, reason=reason, **told
    )
    return Done(
        f"{count} looked at: {State(verdict).label.lower()}.", undo_entry(entry)
    )


def tray_now(item: Item) -> dict[str, Any]:
    waiting = Balance.objects.filter(
        item=item, state=State.TO_LOOK_AT, count__gt=0
    ).first()
    return {"tray": waiting.place_id} if waiting else {}


MAKE_UP = Act(
    forms.MakeUpForm, "How many of {name} are made up?", "Make them up", make_up
)
COUNT = Act(
    forms.CountForm,
    "How many of {name} were found?",
    "Save the count",
    record_count,
    (OWNER, PACKER),
)
MOVE = Act(forms.MoveForm, "Where does {name} go?", "Move them", move)
REGRADE = Act(forms.RegradeForm, "In which state is {name}?", "Put it down", regrade)
INCOMPLETE = Act(
    forms.IncompleteForm,
    "Which piece does the {name} lack?",
    "Put it down as incomplete",
    mark_incomplete,
)
GIVE_AWAY = Act(forms.GiveAwayForm, "Who is given {name}?", "Give it away", give_away)
HOLD = Act(forms.HoldForm, "For whom is {name} held?", "Hold them", hold)
KEEP = Act(forms.KeepForm, "For which day is {name} kept?", "Keep them", keep)
BUFFER = Act(
    forms.BufferForm,
    "How many of {name} stay unsold, in case the count is wrong?",
    "Save the buffer",
    buffer,
    starts_with=buffer_now,
)
LOOK = Act(
    forms.LookForm,
    "What is the {name} that came back?",
    "Put it away",
    look,
    starts_with=tray_now,
)
