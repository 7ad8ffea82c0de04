"""What the studio can do with its stock; each act is safe to say twice."""

from __future__ import annotations

from inventory.actions.blocks import (
    Chosen,
    NewPiece,
    change_design,
    make_parts_from_block,
    record_block_test,
    take_back_block_test,
    take_back_parts_from_block,
)
from inventory.actions.buying import (
    add_supplier,
    change_supplier,
    order_from_supplier,
    receive_purchase,
)
from inventory.actions.catalogue import (
    NewGoods,
    add_goods,
    add_item,
    add_item_with_count,
    change_item,
    set_contents,
    set_parts_list,
    set_price,
    set_shape,
)
from inventory.actions.claims import (
    claim_stock,
    close_claim,
    expect_arrival,
    log_enquiry,
    pay_claim,
    release_claim,
    reopen_claim,
    set_buffer,
    swap_claim,
)
from inventory.actions.ledger import (
    Move,
    check_count,
    was_said,
    write_entry,
)
from inventory.actions.making_up import make_up, mend_set, taken_from_places
from inventory.actions.outlets import add_design, add_outlet, change_outlet
from inventory.actions.places import ensure_place, home_place, outside_place
from inventory.actions.sales import (
    count_occasion,
    count_return,
    count_sale,
    note_spells,
    take_back_return,
)
from inventory.actions.samples import (
    add_sample,
    keep_sample,
    move_sample,
    release_sample,
    sell_sample,
)
from inventory.actions.shelf import (
    find_return_incomplete,
    give_away,
    look_at_return,
    mark_incomplete,
    move_stock,
    record_count,
    regrade_stock,
    spoil_stock,
)
from inventory.actions.taking_back import take_back_entry

__all__ = [
    "Chosen",
    "Move",
    "NewGoods",
    "NewPiece",
    "add_design",
    "add_goods",
    "add_item",
    "add_item_with_count",
    "add_outlet",
    "add_sample",
    "add_supplier",
    "change_design",
    "change_item",
    "change_outlet",
    "change_supplier",
    "check_count",
    "claim_stock",
    "close_claim",
    "count_occasion",
    "count_return",
    "count_sale",
    "ensure_place",
    "expect_arrival",
    "find_return_incomplete",
    "give_away",
    "home_place",
    "keep_sample",
    "log_enquiry",
    "look_at_return",
    "make_parts_from_block",
    "make_up",
    "mark_incomplete",
    "mend_set",
    "move_sample",
    "move_stock",
    "note_spells",
    "order_from_supplier",
    "outside_place",
    "pay_claim",
    "receive_purchase",
    "record_block_test",
    "record_count",
    "regrade_stock",
    "release_claim",
    "release_sample",
    "reopen_claim",
    "sell_sample",
    "set_buffer",
    "set_contents",
    "set_parts_list",
    "set_price",
    "set_shape",
    "spoil_stock",
    "swap_claim",
    "take_back_block_test",
    "take_back_entry",
    "take_back_parts_from_block",
    "take_back_return",
    "taken_from_places",
    "was_said",
    "write_entry",
]
