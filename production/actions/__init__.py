"""What the studio can do at the bench and for its selling days, each safe to repeat."""

from __future__ import annotations

from production.actions.batches import (
    drop_batch,
    move_batch,
    plan_cutting,
    plan_making_up,
    plan_sewing,
    take_up_batch,
)
from production.actions.cutting import Spoiled, log_cutting, take_back_cutting
from production.actions.layouts import (
    add_layout,
    change_layout,
    keep_layout,
    set_layout_use,
    take_back_layout,
)
from production.actions.making_up import log_making_up, take_back_making_up
from production.actions.minutes import call_minutes, take_over_minutes
from production.actions.plans import (
    choose_plan,
    keep_plan,
    make_batches,
    take_back_choice,
)
from production.actions.presses import take_press
from production.actions.repeats import add_repeat, drop_selling_day
from production.actions.selling_days import (
    add_selling_day,
    change_selling_day,
    drop_line,
    set_guess,
    set_line,
    set_terms,
)
from production.actions.sending import send_goods, take_back_sending
from production.actions.sessions import (
    add_session,
    cancel_session,
    change_session,
    record_hours,
)
from production.actions.spoiling import log_spoiled
from production.actions.tallies import (
    note_sold_out,
    record_tally,
    set_sold,
    take_back_tally,
)

__all__ = [
    "Spoiled",
    "add_layout",
    "add_repeat",
    "add_selling_day",
    "add_session",
    "call_minutes",
    "cancel_session",
    "change_layout",
    "change_selling_day",
    "change_session",
    "choose_plan",
    "drop_batch",
    "drop_line",
    "drop_selling_day",
    "keep_layout",
    "keep_plan",
    "log_cutting",
    "log_making_up",
    "log_spoiled",
    "make_batches",
    "move_batch",
    "note_sold_out",
    "plan_cutting",
    "plan_making_up",
    "plan_sewing",
    "record_hours",
    "record_tally",
    "send_goods",
    "set_guess",
    "set_layout_use",
    "set_line",
    "set_sold",
    "set_terms",
    "take_back_choice",
    "take_back_cutting",
    "take_back_layout",
    "take_back_making_up",
    "take_back_sending",
    "take_back_tally",
    "take_over_minutes",
    "take_press",
    "take_up_batch",
]
