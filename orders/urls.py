"""Addresses of orders and the post, in groups by room."""

from __future__ import annotations

from django.urls import URLPattern, path

from orders.views import (
    coming_back,
    files,
    order,
    order_acts,
    order_buttons,
    orders,
    post,
    post_papers,
    post_run,
    prices,
    telling,
    typed,
)

app_name = "orders"

# The post room: /post/ and the packets' short addresses /p/…
post_urls: list[URLPattern] = [
    path("post/", post.post, name="post"),
    path("post/prices/", prices.post_prices, name="post_prices"),
    path("post/prices/sizes/", prices.post_sizes_lay_out, name="post_sizes_lay_out"),
    path("post/print/", post.run_make, name="post_run_make"),
    path("post/run/<int:run_id>/", post_run.run_show, name="post_run"),
    path("post/run/<int:run_id>/posted/", post_run.posted, name="post_run_posted"),
    path(
        "post/run/<int:run_id>/not-posted/",
        post_run.not_posted,
        name="post_run_not_posted",
    ),
    path("post/run/<int:run_id>/papers/", post_papers.papers, name="post_papers"),
    path("post/run/<int:run_id>/slips/", post_papers.slips_paper, name="post_slips"),
    path("post/run/<int:run_id>/pick-list/", post_papers.pick, name="post_pick_list"),
    path("post/run/<int:run_id>/list/", post_papers.run_paper, name="post_run_list"),
    path("post/run/<int:run_id>/list.csv", post_papers.run_csv, name="post_run_csv"),
    path("post/run/<int:run_id>/labels/", post_papers.labels, name="post_labels"),
    path("post/labels.css", post_papers.labels_css, name="post_labels_css"),
    path("post/packet/<int:packet_id>/packed/", post_run.packed, name="packet_packed"),
    path("post/packet/<int:packet_id>/lacks/", post_run.lacks, name="packet_lacks"),
    path("post/packet/<int:packet_id>/back/", post_run.put_back, name="packet_back"),
    path("post/told/<path:number>/", telling.told, name="order_told"),
    path("post/not-told/<path:number>/", telling.not_told, name="order_not_told"),
    path("p/", post_run.packet_typed, name="packet_typed"),
    path("p/<str:code>", post_run.packet_find, name="packet_find"),
]

# Orders coming in and waiting: /orders/. A number stands last: it may hold strokes.
order_urls: list[URLPattern] = [
    path("orders/", orders.orders, name="orders"),
    path("orders/add/", typed.order_add, name="order_add"),
    path("orders/files/", files.files, name="files"),
    path("orders/files/wait/<uuid:key>/", files.file_match, name="file_match"),
    path("orders/files/<int:run_id>/", files.file_run, name="file_run"),
    path("orders/files/<int:run_id>/out.csv", files.file_refused, name="file_refused"),
    path("orders/of/<path:number>/", order.order_show, name="order_show"),
]

# What can be done with one order: small pages, then plain buttons. /orders/do/
act_urls: list[URLPattern] = [
    path("orders/do/pay/<path:number>/", order_acts.order_pay, name="order_pay"),
    path("orders/do/hold/<path:number>/", order_acts.order_hold, name="order_hold"),
    path(
        "orders/do/need-by/<path:number>/",
        order_acts.order_need_by,
        name="order_need_by",
    ),
    path(
        "orders/do/address/<path:number>/",
        order_acts.order_address,
        name="order_address",
    ),
    path("orders/do/gift/<path:number>/", order_acts.order_gift, name="order_gift"),
    path(
        "orders/do/collection/<path:number>/",
        order_acts.order_collection,
        name="order_collection",
    ),
    path("orders/do/swap/<path:number>/", order_acts.order_swap, name="order_swap"),
    path(
        "orders/do/claim/<path:number>/",
        order_acts.order_postal_claim,
        name="order_postal_claim",
    ),
    path(
        "orders/do/came-back/<path:number>/",
        coming_back.order_came_back,
        name="order_came_back",
    ),
    path(
        "orders/do/not-back/<int:entry_id>/<path:number>/",
        coming_back.order_not_back,
        name="order_not_back",
    ),
    path(
        "orders/do/cancel/<path:number>/",
        order_buttons.order_cancel,
        name="order_cancel",
    ),
    path(
        "orders/do/reopen/<path:number>/",
        order_buttons.order_reopen,
        name="order_reopen",
    ),
    path(
        "orders/do/collected/<path:number>/",
        order_buttons.order_collected,
        name="order_collected",
    ),
    path(
        "orders/do/not-collected/<path:number>/",
        order_buttons.order_not_collected,
        name="order_not_collected",
    ),
    path(
        "orders/do/split/<path:number>/", order_buttons.order_split, name="order_split"
    ),
    path(
        "orders/do/whole/<path:number>/", order_buttons.order_whole, name="order_whole"
    ),
    path(
        "orders/do/refund-line/<int:line_id>/<path:number>/",
        order_buttons.line_refund,
        name="line_refund",
    ),
    path(
        "orders/do/put-line-back/<int:line_id>/<path:number>/",
        order_buttons.line_put_back,
        name="line_put_back",
    ),
    path(
        "orders/do/refund-paid/<int:swap_id>/<path:number>/",
        order_buttons.refund_pay,
        name="refund_pay",
    ),
    path(
        "orders/do/answer/<int:question_id>/<path:number>/",
        order_buttons.question_answer,
        name="question_answer",
    ),
    path(
        "orders/do/ask-again/<int:question_id>/<path:number>/",
        order_buttons.question_again,
        name="question_again",
    ),
]

urlpatterns = [*post_urls, *order_urls, *act_urls]
