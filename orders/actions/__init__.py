"""What the studio can do with orders and packets; each act is safe to say twice."""

from __future__ import annotations

from orders.actions.asked import AskedLine, AskedOrder, Buyer
from orders.actions.asking import answer_question
from orders.actions.changing import (
    close_postal_claim,
    open_postal_claim,
    pay_order,
    send_part,
    set_address,
    set_collection,
    set_gift,
    set_hold,
    set_need_by,
)
from orders.actions.closing import cancel_order, collect_order, reopen_order
from orders.actions.intake import save_match, take_file
from orders.actions.posting import (
    make_post_run,
    post_packets,
    set_packet_packed,
    take_packet_back,
    take_packet_out,
    unpost_packets,
)
from orders.actions.refunding import agree_swap, pay_refund, refund_line
from orders.actions.taking import take_order

__all__ = [
    "AskedLine",
    "AskedOrder",
    "Buyer",
    "agree_swap",
    "answer_question",
    "cancel_order",
    "close_postal_claim",
    "collect_order",
    "make_post_run",
    "open_postal_claim",
    "pay_order",
    "pay_refund",
    "post_packets",
    "refund_line",
    "reopen_order",
    "save_match",
    "send_part",
    "set_address",
    "set_collection",
    "set_gift",
    "set_hold",
    "set_need_by",
    "set_packet_packed",
    "take_file",
    "take_order",
    "take_packet_back",
    "take_packet_out",
    "unpost_packets",
]
