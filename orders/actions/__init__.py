"""What the studio can do with orders and packets; each act is safe to say twice."""

from __future__ import annotations

from orders.actions.asked import AskedLine, AskedOrder, Buyer
from orders.actions.asking import answer_question
from orders.actions.changing import (
    close_postal_claim,
    open_postal_claim,
    pay_order,
    say_why_free,
    send_part,
    set_address,
    set_collection,
    set_gift,
    set_hold,
    set_need_by,
)
from orders.actions.closing import cancel_order, collect_order, reopen_order
from orders.actions.finding import put_packet_back
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
from orders.actions.returning import take_return, take_return_back
from orders.actions.taking import take_order
from orders.actions.telling import drop_told, note_told
from orders.actions.undoing import ask_again, put_line_back, take_collection_back

__all__ = [
    "AskedLine",
    "AskedOrder",
    "Buyer",
    "agree_swap",
    "answer_question",
    "ask_again",
    "cancel_order",
    "close_postal_claim",
    "collect_order",
    "drop_told",
    "make_post_run",
    "note_told",
    "open_postal_claim",
    "pay_order",
    "pay_refund",
    "post_packets",
    "put_line_back",
    "put_packet_back",
    "refund_line",
    "reopen_order",
    "save_match",
    "say_why_free",
    "send_part",
    "set_address",
    "set_collection",
    "set_gift",
    "set_hold",
    "set_need_by",
    "set_packet_packed",
    "take_collection_back",
    "take_file",
    "take_order",
    "take_packet_back",
    "take_packet_out",
    "take_return",
    "take_return_back",
    "unpost_packets",
]
