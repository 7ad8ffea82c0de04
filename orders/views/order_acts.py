"""What can be done with one order: small pages with one form, and plain buttons."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import time
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from orders import actions as desk
from orders.actions.asking import address_of
from orders.actions.refunding import discounted
from orders.forms import acts as forms
from orders.models import Order, OrderLine
from orders.queries.order_page import prices_at, sold_items
from orders.views.answers import answer
from orders.views.finding import order_or_404
from studio.access import OWNER, StudioRequest, for_roles
from studio.days import at_clock, show_day_short
from studio.errors import StudioError
from studio.money import show_pounds

LAST_MINUTE = time(23, 59)
Cleaned = dict[str, Any]


@dataclass(frozen=True)
class Act:
    """A form, the sentence above it, and what is done with the answer."""

    form: type[forms.ActForm]
    sentence: str
    button: str
    do: Callable[[Order, Cleaned, StudioRequest], str]
    starts_with: Callable[[Order, StudioRequest], Cleaned] = lambda _order, _req: {}
    needs_items: bool = False


def act_view(act: Act) -> Callable[..., HttpResponse]:
    """Make the view of an act: fetch, form, action, answer."""

    @for_roles(OWNER)
    @require_http_methods(["GET", "POST"])
    def view(request: StudioRequest, number: str) -> HttpResponse:
        order = order_or_404(number)
        form = act.form(
            request.POST or None,
            order=order,
            now=request.now,
            today=request.today,
            initial=act.starts_with(order, request),
        )
        if request.method == "POST" and form.is_valid():
            try:
                said = act.do(order, form.cleaned_data, request)
            except StudioError as error:
                form.refuse(error)
            else:
                return answer(request, said, order.get_absolute_url())
        context = {
            "order": order,
            "form": form,
            "button": act.button,
            "sentence": act.sentence.format(order=order),
            "items": sold_items() if act.needs_items else (),
        }
        return render(request, "orders/order_act.html", context)

    return view


def do_pay(order: Order, said: Cleaned, request: StudioRequest) -> str:
    paid_at = min(request.now, at_clock(said["paid_on"], request.now.time()))
    if said["paid_on"] > request.today:
        paid_at = at_clock(said["paid_on"], time(0, 0))
    desk.pay_order(
        order, paid_at=paid_at, request_id=said["request_id"], now=request.now
    )
    return f"{order.number} is paid."


def do_hold(order: Order, said: Cleaned, _request: StudioRequest) -> str:
    desk.set_hold(order, until=at_clock(said["until"], LAST_MINUTE))
    return f"The goods are held until {show_day_short(said['until'])}."


def do_need_by(order: Order, said: Cleaned, _request: StudioRequest) -> str:
    desk.set_need_by(order, need_by=said["need_by"])
    if said["need_by"] is None:
        return f"{order.number} has no day to meet."
    return f"{order.number} is needed by {show_day_short(said['need_by'])}."


def do_address(order: Order, said: Cleaned, request: StudioRequest) -> str:
    desk.set_address(order, address=said["address"], now=request.now)
    return "The address is written down."


def do_gift(order: Order, said: Cleaned, request: StudioRequest) -> str:
    desk.set_gift(
        order,
        recipient_name=said["recipient"],
        address=said["address"],
        card_text=said["card_text"],
        now=request.now,
    )
    return f"{order.number} goes to {said['recipient']}, without prices."


def do_collection(order: Order, said: Cleaned, request: StudioRequest) -> str:
    desk.set_collection(order, on=said["on"], at=said["at"], now=request.now)
    if said["on"] is None:
        return f"{order.number} is posted after all."
    return f"{order.number} is collected on {show_day_short(said['on'])}."


def do_postal_claim(order: Order, said: Cleaned, request: StudioRequest) -> str:
    desk.open_postal_claim(order, opened_on=request.today, note=said["note"])
    return "The claim on the carrier is noted."


def do_swap(order: Order, said: Cleaned, request: StudioRequest) -> str:
    line: OrderLine = said["line"]
    refund, before = said["refund"], line.sends.code
    if refund is None:
        refund = usual_refund(order, said, request)
    desk.agree_swap(
        line,
        item=said["item"],
        refund_pence=refund,
        request_id=said["request_id"],
        now=request.now,
        overruled_because=said["overruled_because"],
    )
    owed = f" {show_pounds(refund)} is to be paid back." if refund else ""
    return f"{said['item'].code} goes instead of {before}.{owed}"


def usual_refund(order: Order, said: Cleaned, request: StudioRequest) -> int:
    """Return what the line was dearer than the other item's usual price."""
    line, item = said["line"], said["item"]
    price = prices_at(order.outlet, [item], on=request.today).get(item.pk)
    if price is None:
        return 0
    return max(0, discounted(order, line.owed * (line.price_pence - price)))


def address_start(order: Order, _request: StudioRequest) -> Cleaned:
    return {"address": forms.typed_address(address_of(order))}


def gift_start(order: Order, _request: StudioRequest) -> Cleaned:
    is_own = order.recipient_name == order.customer.name
    return {
        "recipient": "" if is_own else order.recipient_name,
        "address": "" if is_own else forms.typed_address(address_of(order)),
        "card_text": order.card_text,
    }


order_pay = act_view(
    Act(
        forms.PayForm,
        "When was {order.number} paid?",
        "It is paid",
        do_pay,
        lambda _order, request: {"paid_on": request.today},
    )
)
order_hold = act_view(
    Act(
        forms.HoldForm,
        "Until when are the goods of {order.number} held?",
        "Hold them until then",
        do_hold,
        lambda order, _request: {"until": order.held_until and order.held_until.date()},
    )
)
order_need_by = act_view(
    Act(
        forms.NeedByForm,
        "By when is {order.number} needed?",
        "Write it down",
        do_need_by,
        lambda order, _request: {"need_by": order.need_by},
    )
)
order_address = act_view(
    Act(
        forms.AddressForm,
        "Where does {order.number} go?",
        "Write it down",
        do_address,
        address_start,
    )
)
order_gift = act_view(
    Act(
        forms.GiftForm,
        "Whom does {order.number} go to?",
        "Send it there",
        do_gift,
        gift_start,
    )
)
order_collection = act_view(
    Act(
        forms.CollectionForm,
        "When and where is {order.number} collected?",
        "Write it down",
        do_collection,
        lambda order, _request: {"on": order.collect_on, "at": order.collect_at},
    )
)
order_swap = act_view(
    Act(
        forms.SwapForm,
        "What goes instead, as agreed with {order.customer.name}?",
        "It is agreed",
        do_swap,
        needs_items=True,
    )
)
order_postal_claim = act_view(
    Act(
        forms.PostalClaimForm,
        "What happened to {order.number} in the post?",
        "Note the claim",
        do_postal_claim,
    )
)
