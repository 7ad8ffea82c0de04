"""Addresses of the bench: the diary, the batches, the cutting."""

from __future__ import annotations

from django.urls import path
from django.views.generic import RedirectView

from production.views import (
    after_cutting,
    bench,
    cutting,
    layout_page,
    layouts,
    making,
    minutes,
    sessions,
    sheets,
)
from studio.access import OWNER, WORKSHOP, for_roles

to_phone_page = for_roles(OWNER, WORKSHOP)(
    RedirectView.as_view(pattern_name="production:cutting")
)

# Sessions: /bench/sessions/
session_urls = [
    path("bench/", bench.bench, name="bench"),
    path("bench/sessions/add/", sessions.session_add, name="session_add"),
    path(
        "bench/sessions/<int:session_id>/change/",
        sessions.session_change,
        name="session_change",
    ),
    path(
        "bench/sessions/<int:session_id>/cancel/",
        sessions.session_cancel,
        name="session_cancel",
    ),
    path(
        "bench/sessions/<int:session_id>/restore/",
        sessions.session_restore,
        name="session_restore",
    ),
    path(
        "bench/sessions/<int:session_id>/hours/",
        sessions.session_hours,
        name="session_hours",
    ),
]

# Batches: /bench/batches/
batch_urls = [
    path("bench/sheets/", making.sheets_plan, name="sheets_plan"),
    path("bench/batches/<int:batch_id>/drop/", making.batch_drop, name="batch_drop"),
    path(
        "bench/batches/<int:batch_id>/take-up/",
        making.batch_take_up,
        name="batch_take_up",
    ),
    path("bench/batches/<int:batch_id>/move/", making.batch_move, name="batch_move"),
    path("bench/batches/<int:batch_id>/made/", making.batch_made, name="batch_made"),
    path(
        "bench/made/<int:log_id>/take-back/",
        making.made_take_back,
        name="made_take_back",
    ),
]

# The cutter: /bench/cutting/, and the short address on its card
cutting_urls = [
    path("bench/cutting/log/", cutting.cutting_log, name="cutting_log"),
    path("bench/cutting/add/", after_cutting.cutting_add, name="cutting_add"),
    path(
        "bench/cutting/logs/<int:log_id>/take-back/",
        cutting.cutting_take_back,
        name="cutting_take_back",
    ),
    path(
        "bench/cutting/logs/<int:log_id>/minutes/",
        minutes.cutting_minutes,
        name="cutting_minutes",
    ),
    path("bench/cutting/<int:session_id>/", cutting.cutting, name="cutting"),
    path(
        "bench/cutting/<int:session_id>/after/",
        after_cutting.cutting_after,
        name="cutting_after",
    ),
    path(
        "bench/cutting/<int:session_id>/card/",
        after_cutting.session_card,
        name="session_card",
    ),
    path("b/<int:session_id>/", to_phone_page, name="cutting_short"),
]

# Layouts: /bench/layouts/
layout_urls = [
    path("bench/layouts/add/", layouts.layout_add, name="layout_add"),
    path("bench/layouts/<int:layout_id>/", layout_page.layout_show, name="layout_show"),
    path(
        "bench/layouts/<int:layout_id>/take-back/",
        layout_page.layout_take_back,
        name="layout_take_back",
    ),
    path(
        "bench/layouts/<int:layout_id>/aside/",
        layouts.layout_aside,
        name="layout_aside",
    ),
    path(
        "bench/layouts/<int:layout_id>/take-up/",
        layouts.layout_take_up,
        name="layout_take_up",
    ),
    path(
        "bench/layouts/<int:layout_id>/minutes/",
        minutes.layout_minutes,
        name="layout_minutes",
    ),
    path(
        "bench/layouts/<int:layout_id>/<slug:kind>/",
        layout_page.layout_file,
        name="layout_file",
    ),
]

# Pieces laid on a sheet: /blocks/sheets/
sheet_urls = [
    path("blocks/sheets/", sheets.sheet_lay, name="sheet_lay"),
    path("blocks/sheets/keep/", sheets.sheet_keep, name="sheet_keep"),
    path("blocks/sheets/<slug:kind>/", sheets.sheet_file, name="sheet_file"),
]

bench_urls = [
    *session_urls,
    *batch_urls,
    *cutting_urls,
    *layout_urls,
    *sheet_urls,
]
