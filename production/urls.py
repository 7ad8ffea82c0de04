"""Addresses of the bench and of selling days."""

from __future__ import annotations

from django.urls import path

from production.bench_urls import bench_urls
from production.views import (
    money,
    selling_day_sending,
    selling_day_show,
    selling_day_tally,
    selling_days,
    take_it,
    terms,
)

app_name = "production"

# Selling days: /selling-days/
selling_day_urls = [
    path("selling-days/", selling_days.days_list, name="selling_days"),
    path("selling-days/add/", selling_days.day_add, name="selling_day_add"),
    path("selling-days/<int:pk>/", selling_day_show.day_show, name="selling_day_show"),
    path(
        "selling-days/<int:pk>/change/",
        selling_days.day_change,
        name="selling_day_change",
    ),
    path(
        "selling-days/<int:pk>/terms/",
        terms.day_terms,
        name="selling_day_terms",
    ),
    path(
        "selling-days/<int:pk>/guesses/",
        terms.day_guesses,
        name="selling_day_guesses",
    ),
    path(
        "selling-days/<int:pk>/take-it/",
        take_it.take_it,
        name="selling_day_take_it",
    ),
    path(
        "selling-days/<int:pk>/repeat/",
        selling_days.repeat_add,
        name="selling_day_repeat",
    ),
    path(
        "selling-days/<int:pk>/drop/",
        selling_days.day_drop,
        name="selling_day_drop",
    ),
]

# Its lines and its plan: /selling-days/<pk>/lines/, …/batches/
line_urls = [
    path(
        "selling-days/<int:pk>/lines/",
        selling_day_show.numbers_save,
        name="selling_day_numbers",
    ),
    path(
        "selling-days/<int:pk>/lines/add/",
        selling_day_show.line_add,
        name="selling_day_line_add",
    ),
    path(
        "selling-days/<int:pk>/lines/<int:line_pk>/drop/",
        selling_day_show.line_drop,
        name="selling_day_line_drop",
    ),
    path(
        "selling-days/<int:pk>/sold/",
        selling_day_show.sold_save,
        name="selling_day_sold",
    ),
    path(
        "selling-days/<int:pk>/batches/",
        selling_day_show.batches_make,
        name="selling_day_batches",
    ),
    path(
        "selling-days/<int:pk>/batches/<int:plan_pk>/take-back/",
        selling_day_show.batches_take_back,
        name="selling_day_batches_take_back",
    ),
]

# What goes there, and what goes on air: /selling-days/<pk>/send/, …/tally/
going_urls = [
    path(
        "selling-days/<int:pk>/send/",
        selling_day_sending.goods_send,
        name="selling_day_send",
    ),
    path(
        "selling-days/<int:pk>/send/<int:entry_pk>/take-back/",
        selling_day_sending.sending_take_back,
        name="selling_day_send_take_back",
    ),
    path(
        "selling-days/<int:pk>/list/",
        selling_day_sending.goods_list,
        name="selling_day_list",
    ),
    path(
        "selling-days/<int:pk>/tally/",
        selling_day_tally.tally_show,
        name="selling_day_tally",
    ),
    path(
        "selling-days/<int:pk>/tally/<int:line_pk>/",
        selling_day_tally.tap,
        name="selling_day_tap",
    ),
    path(
        "selling-days/<int:pk>/tally/<int:line_pk>/sold-out/",
        selling_day_tally.sold_out,
        name="selling_day_sold_out",
    ),
    path(
        "selling-days/<int:pk>/tally/<int:line_pk>/take-back/",
        selling_day_tally.tap_take_back,
        name="selling_day_tap_take_back",
    ),
]

# Money to come and to pay: /selling-days/money/
money_urls = [
    path("selling-days/money/", money.money_list, name="money"),
    path("selling-days/money/add/", money.money_add, name="money_add"),
    path("selling-days/money/bank/", money.bank_count, name="money_bank"),
    path("selling-days/money/<int:pk>/moved/", money.money_moved, name="money_moved"),
    path(
        "selling-days/money/<int:pk>/take-back/",
        money.money_take_back,
        name="money_take_back",
    ),
    path(
        "selling-days/money/<int:pk>/put-back/",
        money.money_put_back,
        name="money_put_back",
    ),
]

# The bench, its sessions, the phone's log and the session card: /bench/
urlpatterns = [*selling_day_urls, *line_urls, *going_urls, *money_urls, *bench_urls]
