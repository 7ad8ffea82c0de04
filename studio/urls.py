"""Every address of the studio. The apps' own files name the rooms they serve."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, include, path

from studio.views import (
    blocks,
    bundles,
    clock,
    cloth,
    copies,
    days,
    first_run,
    new_size,
    own_blocks,
    people,
    people_keep,
    pieces,
    project_booklets,
    projects,
    shapes,
    sizes,
    studio_page,
    today,
)

# Who is at this device: /people/, /sign-in/, /let-in/
door_urls: list[URLPattern | URLResolver] = [
    path("people/", people.people, name="people"),
    path("people/<int:person_id>/", people.say_who, name="say_who"),
    path("people/<int:person_id>/word/", people.word, name="word"),
    path("sign-in/", people.sign_in, name="sign_in"),
    path("sign-in/code/", people.sign_in_code, name="sign_in_code"),
    path("let-in/<str:token>/", people.let_in, name="let_in"),
    path("leave/", people.leave, name="leave"),
]

# Only while there is no studio: /first-run/
first_urls: list[URLPattern | URLResolver] = [
    path("first-run/", first_run.first_run, name="first_run"),
    path("first-run/<str:key>/", first_run.come_by_link, name="first_door"),
]

# The owner's own room: /studio/
owner_urls: list[URLPattern | URLResolver] = [
    path("", studio_page.studio, name="studio"),
    path("figures/", studio_page.figures, name="figures"),
    path("people/", people_keep.people_list, name="people_list"),
    path("people/add/", people_keep.person_add, name="person_add"),
    path("people/<int:person_id>/", people_keep.person_change, name="person_change"),
    path("people/<int:person_id>/word/", people_keep.person_word, name="person_word"),
    path("people/<int:person_id>/part/", people_keep.person_part, name="person_part"),
    path("devices/link/", people_keep.link_make, name="link_make"),
    path(
        "devices/<int:device_id>/shut-out/",
        people_keep.device_shut_out,
        name="device_shut_out",
    ),
    path("days/", days.days_list, name="days"),
    path("days/counter/", days.counter_set, name="counter_set"),
    path("days/stops/", days.stop_add, name="stop_add"),
    path("days/stops/<int:stop_id>/drop/", days.stop_drop, name="stop_drop"),
    path("days/closed/", days.closed_add, name="closed_add"),
    path("days/closed/<int:closed_id>/drop/", days.closed_drop, name="closed_drop"),
    path("days/hours/", days.hours_set, name="hours_set"),
    path("days/hours/<int:hours_id>/drop/", days.hours_drop, name="hours_drop"),
    path("days/absences/", days.absence_add, name="absence_add"),
    path(
        "days/absences/<int:absence_id>/drop/", days.absence_drop, name="absence_drop"
    ),
    path("copies/", copies.copies, name="copies"),
    path("copies/make/", copies.copy_make, name="copy_make"),
    path("copies/carry/", copies.copy_carry, name="copy_carry"),
]

studio_urls: list[URLPattern | URLResolver] = [
    path("", today.today, name="today"),
    *door_urls,
    *first_urls,
    path("studio/", include(owner_urls)),
    # What sells and what to make: /sizes/
    path("sizes/", sizes.sizes, name="sizes"),
    path("sizes/<str:code>/make/", sizes.sizes_make, name="sizes_make"),
    # What to cut for a block at any size: /blocks/
    path("blocks/", blocks.blocks, name="blocks"),
    path("blocks/own/", own_blocks.own_block_new, name="own_block_new"),
    path(
        "blocks/own/<slug:word>/", own_blocks.own_block_change, name="own_block_change"
    ),
    path(
        "blocks/own/<slug:word>/put-away/",
        own_blocks.own_block_put_away,
        name="own_block_put_away",
    ),
    path(
        "blocks/own/<int:keeping_id>/take-back/",
        own_blocks.own_block_take_back,
        name="own_block_take_back",
    ),
    # How to cut it from the least cloth: /blocks/cloth/
    path("blocks/cloth/", cloth.cloth, name="cloth"),
    path("blocks/cloth/print/", cloth.cloth_print, name="cloth_print"),
    path("blocks/pieces/", pieces.pieces_find, name="pieces_find"),
    path("blocks/test-block/", new_size.new_size, name="test_block"),
    path("blocks/test-block/keep/", new_size.test_keep, name="test_block_keep"),
    path(
        "blocks/test-block/<int:pk>/take-back/",
        new_size.test_take_back,
        name="test_block_take_back",
    ),
    path("blocks/projects/", projects.projects, name="projects"),
    path("blocks/projects/print/", projects.projects_print, name="projects_print"),
    # Which bundles make which kits: /blocks/bundles/
    path("blocks/bundles/", bundles.bundles, name="bundles"),
    path("blocks/shapes/", shapes.shapes, name="shapes"),
    path("blocks/shapes/<slug:word>/", shapes.shape_show, name="shape_show"),
    # A project over the sizes of its block: /blocks/projects/booklet/
    path(
        "blocks/projects/booklet/",
        project_booklets.project_booklet,
        name="project_booklet",
    ),
    path(
        "blocks/projects/booklet/print/",
        project_booklets.project_booklet_print,
        name="project_booklet_print",
    ),
    path("blocks/<slug:slug>/", blocks.block_show, name="block_show"),
    path("blocks/<slug:slug>/booklet/", blocks.block_booklet, name="block_booklet"),
    path("clock/", clock.clock_move, name="clock_move"),
    path("take-back/<int:entry_id>/", clock.take_back, name="take_back"),
]

# Production first: /blocks/sheets/ is no block.
urlpatterns: list[URLPattern | URLResolver] = [
    path("", include("production.urls")),
    path("", include((studio_urls, "studio"))),
    path("", include("inventory.urls")),
    path("", include("orders.urls")),
]
