"""Addresses of the goods room."""

from __future__ import annotations

from django.urls import path

from inventory.views import (
    acts,
    ask,
    blocks,
    buying,
    catalogue,
    claims,
    goods,
    item,
    outlets,
    places,
    quick,
    samples,
)

app_name = "inventory"

urlpatterns = [
    path("goods/", goods.goods, name="goods"),
    path("goods/list.csv", goods.goods_export, name="goods_export"),
    path("goods/begin/", quick.quick_entry, name="quick_entry"),
    path("goods/ask/", ask.item_ask, name="item_ask"),
    path("goods/add/", catalogue.item_add, name="item_add"),
    path("goods/asked-for/", claims.enquiry_log, name="enquiry_log"),
    path("goods/below-nought/", places.below, name="below_nought"),
    # goods/deliveries/
    path("goods/deliveries/", buying.deliveries, name="deliveries"),
    path("goods/deliveries/order/", buying.purchase_add, name="purchase_add"),
    path("goods/deliveries/<int:pk>/", buying.purchase_show, name="purchase_show"),
    path(
        "goods/deliveries/<int:pk>/take-in/",
        buying.purchase_take_in,
        name="purchase_take_in",
    ),
    path("goods/suppliers/add/", buying.supplier_add, name="supplier_add"),
    path("goods/suppliers/<int:pk>/", buying.supplier_edit, name="supplier_edit"),
    # goods/samples/
    path("goods/samples/", samples.samples, name="samples"),
    path("goods/samples/add/", samples.sample_add, name="sample_add"),
    path("goods/samples/<str:code>/move/", samples.sample_move, name="sample_move"),
    path(
        "goods/samples/<str:code>/release/",
        samples.sample_release,
        name="sample_release",
    ),
    path("goods/samples/<str:code>/keep/", samples.sample_keep, name="sample_keep"),
    path("goods/samples/<str:code>/sell/", samples.sample_sell, name="sample_sell"),
    # goods/places/
    path("goods/places/", places.places, name="places"),
    path("goods/places/add/", places.place_add, name="place_add"),
    path(
        "goods/places/<str:code>/count-sheet/",
        places.place_count_sheet,
        name="place_count_sheet",
    ),
    # goods/outlets/
    path("goods/outlets/", outlets.outlets, name="outlets"),
    path("goods/outlets/add/", outlets.outlet_add, name="outlet_add"),
    path("goods/outlets/<str:code>/", outlets.outlet_edit, name="outlet_edit"),
    path("goods/designs/add/", outlets.design_add, name="design_add"),
    path("goods/designs/<str:code>/", blocks.design_edit, name="design_edit"),
    # goods/holds/ and goods/incomplete/
    path("goods/holds/<int:pk>/release/", claims.claim_release, name="claim_release"),
    path("goods/holds/<int:pk>/again/", claims.claim_reopen, name="claim_reopen"),
    path("goods/holds/<int:pk>/slip/", claims.claim_slip, name="claim_slip"),
    path("goods/incomplete/<int:pk>/mend/", claims.set_mend, name="set_mend"),
    path(
        "goods/from-block/<int:pk>/take-back/",
        blocks.parts_take_back,
        name="parts_take_back",
    ),
    # goods/<code>/
    path("goods/<str:code>/", item.item_show, name="item_show"),
    path("goods/<str:code>/history/", item.item_history, name="item_history"),
    path("goods/<str:code>/edit/", catalogue.item_edit, name="item_edit"),
    path("goods/<str:code>/price/", catalogue.item_price, name="item_price"),
    path("goods/<str:code>/cut-size/", catalogue.item_shape, name="item_shape"),
    path("goods/<str:code>/contents/", catalogue.item_contents, name="item_contents"),
    path("goods/<str:code>/parts/", catalogue.item_another_way, name="item_way_add"),
    path("goods/<str:code>/parts/<int:rank>/", catalogue.item_parts, name="item_parts"),
    path(
        "goods/<str:code>/from-block/", blocks.item_from_block, name="item_from_block"
    ),
    path(
        "goods/<str:code>/from-block/make/",
        blocks.item_parts_make,
        name="item_parts_make",
    ),
    # goods/<code>/, the acts
    path("goods/<str:code>/make-up/", acts.act_view(acts.MAKE_UP), name="item_make_up"),
    path("goods/<str:code>/count/", acts.act_view(acts.COUNT), name="item_count"),
    path("goods/<str:code>/move/", acts.act_view(acts.MOVE), name="item_move"),
    path("goods/<str:code>/state/", acts.act_view(acts.REGRADE), name="item_regrade"),
    path(
        "goods/<str:code>/incomplete/",
        acts.act_view(acts.INCOMPLETE),
        name="item_incomplete",
    ),
    path("goods/<str:code>/give/", acts.act_view(acts.GIVE_AWAY), name="item_give"),
    path("goods/<str:code>/hold/", acts.act_view(acts.HOLD), name="item_hold"),
    path("goods/<str:code>/keep/", acts.act_view(acts.KEEP), name="item_keep"),
    path("goods/<str:code>/buffer/", acts.act_view(acts.BUFFER), name="item_buffer"),
    path("goods/<str:code>/look/", acts.act_view(acts.LOOK), name="item_look"),
]
