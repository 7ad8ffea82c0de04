"""The plain buttons of an order: done at once, with a way back beside the message."""

from __future__ import annotations

from django.http import HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_POST

from orders import actions as desk
from orders.forms.acts import AnswerForm
from orders.models import Order, OrderLine, Question, Swap
from orders.views.answers import answer, sorry
from orders.views.finding import order_or_404, part_or_404, sent_id
from studio.access import OWNER, StudioRequest, for_roles
from studio.errors import StudioError


def way_back(name: str, order: Order, *more: int) -> str:
    """Return the address of a button; the number stands last, for it may hold strokes."""
    return reverse(f"orders:{name}", args=[*more, order.number])


@for_roles(OWNER)
@require_POST
def order_cancel(request: StudioRequest, number: str) -> HttpResponse:
    order = order_or_404(number)
    try:
        sent_id(request)
        desk.cancel_order(order, now=request.now)
    except StudioError as error:
        return sorry(request, error, order.get_absolute_url())
    return answer(
        request,
        f"{number} is cancelled, and its goods are free again.",
        order.get_absolute_url(),
        undo_url=way_back("order_reopen", order),
    )


@for_roles(OWNER)
@require_POST
def order_reopen(request: StudioRequest, number: str) -> HttpResponse:
    order = order_or_404(number)
    try:
        desk.reopen_order(order, request_id=sent_id(request), now=request.now)
    except StudioError as error:
        return sorry(request, error, order.get_absolute_url())
    return answer(request, f"{number} is open again.", order.get_absolute_url())


@for_roles(OWNER)
@require_POST
def order_collected(request: StudioRequest, number: str) -> HttpResponse:
    order = order_or_404(number)
    try:
        desk.collect_order(
            order, request_id=sent_id(request), now=request.now, by=request.person
        )
    except StudioError as error:
        return sorry(request, error, order.get_absolute_url())
    return answer(
        request,
        f"{number} is handed over.",
        order.get_absolute_url(),
        undo_url=way_back("order_not_collected", order),
    )


@for_roles(OWNER)
@require_POST
def order_not_collected(request: StudioRequest, number: str) -> HttpResponse:
    order = order_or_404(number)
    try:
        desk.take_collection_back(
            order, request_id=sent_id(request), now=request.now, by=request.person
        )
    except StudioError as error:
        return sorry(request, error, order.get_absolute_url())
    return answer(request, f"{number} is open again.", order.get_absolute_url())


@for_roles(OWNER)
@require_POST
def order_split(request: StudioRequest, number: str) -> HttpResponse:
    order = order_or_404(number)
    try:
        sent_id(request)
        desk.send_part(order)
    except StudioError as error:
        return sorry(request, error, order.get_absolute_url())
    return answer(
        request,
        "What is there goes with the next post; the rest follows.",
        order.get_absolute_url(),
        undo_url=way_back("order_whole", order),
    )


@for_roles(OWNER)
@require_POST
def order_whole(request: StudioRequest, number: str) -> HttpResponse:
    order = order_or_404(number)
    try:
        sent_id(request)
        desk.send_part(order, sends_part=False)
    except StudioError as error:
        return sorry(request, error, order.get_absolute_url())
    return answer(request, "It waits and goes whole.", order.get_absolute_url())


@for_roles(OWNER)
@require_POST
def line_refund(request: StudioRequest, line_id: int, number: str) -> HttpResponse:
    order = order_or_404(number)
    line: OrderLine = part_or_404(order.lines.select_related("item"), line_id)
    try:
        sent_id(request)
        desk.refund_line(line, now=request.now)
    except StudioError as error:
        return sorry(request, error, order.get_absolute_url())
    return answer(
        request,
        f"{line.item.code} is taken off {number}; its price is to be paid back.",
        order.get_absolute_url(),
        undo_url=way_back("line_put_back", order, line.pk),
    )


@for_roles(OWNER)
@require_POST
def line_put_back(request: StudioRequest, line_id: int, number: str) -> HttpResponse:
    order = order_or_404(number)
    line: OrderLine = part_or_404(order.lines.select_related("item"), line_id)
    try:
        desk.put_line_back(line, request_id=sent_id(request), now=request.now)
    except StudioError as error:
        return sorry(request, error, order.get_absolute_url())
    return answer(request, f"{line.item.code} is owed again.", order.get_absolute_url())


@for_roles(OWNER)
@require_POST
def refund_pay(request: StudioRequest, swap_id: int, number: str) -> HttpResponse:
    order = order_or_404(number)
    swap: Swap = part_or_404(Swap.objects.filter(line__order=order), swap_id)
    try:
        sent_id(request)
        desk.pay_refund(swap, paid_at=request.now)
    except StudioError as error:
        return sorry(request, error, order.get_absolute_url())
    return answer(request, "The refund is noted as paid.", order.get_absolute_url())


@for_roles(OWNER)
@require_POST
def question_answer(
    request: StudioRequest, question_id: int, number: str
) -> HttpResponse:
    order = order_or_404(number)
    question: Question = part_or_404(order.questions.all(), question_id)
    form = AnswerForm(request.POST, order=order, now=request.now, today=request.today)
    if not form.is_valid():
        return sorry(request, NoAnswer(), order.get_absolute_url())
    desk.answer_question(question, answer=form.cleaned_data["answer"], now=request.now)
    return answer(
        request,
        f"Answered: {form.cleaned_data['answer']}",
        order.get_absolute_url(),
        undo_url=way_back("question_again", order, question.pk),
    )


class NoAnswer(StudioError):
    def __str__(self) -> str:
        return "There is no answer written. Write it in a few words, please."


@for_roles(OWNER)
@require_POST
def question_again(
    request: StudioRequest, question_id: int, number: str
) -> HttpResponse:
    order = order_or_404(number)
    question: Question = part_or_404(order.questions.all(), question_id)
    try:
        sent_id(request)
        desk.ask_again(question)
    except StudioError as error:
        return sorry(request, error, order.get_absolute_url())
    return answer(request, "The question is open again.", order.get_absolute_url())
