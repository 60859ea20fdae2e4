"""Addresses of the owner's pages."""

from __future__ import annotations

from django.urls import path

from workshop.desk.exports import EXPORTS
from workshop.desk.price_files import PRICE_FILES
from workshop.desk.views import (
    buying,
    clients,
    estimates,
    fittings,
    garments,
    holidays,
    house,
    importing,
    measuring,
    money,
    operations,
    orders,
    picker,
    prices,
    quotes,
    rail,
    settings,
    week,
)

app_name = "desk"
urlpatterns = [
    path("", rail.show_rail, name="rail"),
    path("week/", week.show_week, name="week"),
    path("week/replan/", week.replan, name="replan"),
    path("orders/", orders.show_orders, name="orders"),
    path("orders/new/", orders.take_order, name="take-order"),
    path("orders/<int:number>/", orders.show_order, name="order"),
    path("orders/<int:number>/edit/", orders.edit_order, name="edit-order"),
    path("orders/<int:number>/garment/", orders.add_garment, name="add-garment"),
    path("orders/<int:number>/cancel/", orders.cancel_order, name="cancel-order"),
    path("orders/<int:number>/quote/", quotes.prepare_quote, name="prepare-quote"),
    path("orders/<int:number>/link/withdraw/", quotes.withdraw_link, name="withdraw-link"),
    path("orders/<int:number>/invoice/", money.issue_invoice, name="issue-invoice"),
    path("orders/<int:number>/payment/", money.take_payment, name="take-payment"),
    path("orders/<int:number>/refund/", money.give_back, name="give-back"),
    path("quotes/<int:pk>/", quotes.show_quote, name="quote"),
    path("quotes/<int:pk>/send/", quotes.send_quote, name="send-quote"),
    path("letters/<int:pk>/settle/", quotes.settle_letter, name="settle-letter"),
    path("invoices/<int:pk>/credit/", money.credit_invoice, name="credit-invoice"),
    path("styles/choices/", picker.show_choices, name="style-choices"),
    path("styles/drawn/", picker.draw_style, name="draw-style"),
    path("garments/<int:pk>/", garments.show_garment, name="garment"),
    path("garments/<int:pk>/measure/", measuring.measure, name="measure"),
    path("garments/<int:pk>/change/", orders.change_garment, name="change-garment"),
    path("garments/<int:pk>/size/", garments.stand_in, name="stand-in"),
    path("garments/<int:pk>/draft/", garments.draft_garment, name="draft-garment"),
    path("garments/<int:pk>/move/", garments.move_garment, name="move-garment"),
    path("garments/<int:pk>/estimate/", estimates.show_estimate, name="estimate"),
    path("garments/<int:pk>/operations/", operations.show_operations, name="operations"),
    path(
        "garments/<int:pk>/operations/restore/", operations.restore_operations, name="restore-operations"
    ),
    path("garments/<int:pk>/cut/", estimates.note_cut, name="note-cut"),
    path("garments/<int:pk>/fitting/", fittings.book_fitting, name="book-fitting"),
    path("drafts/<int:pk>/picture/", garments.draw_draft, name="draft-picture"),
    path("drafts/<int:pk>/files/", garments.make_files, name="make-files"),
    path("drafts/<int:pk>/lays/", garments.make_lays, name="make-lays"),
    path("drafts/<int:pk>/waive/", garments.waive_checks, name="waive-checks"),
    path("fittings/<int:pk>/", fittings.show_fitting, name="fitting"),
    path("fittings/<int:pk>/move/", fittings.move_fitting, name="move-fitting"),
    path("fittings/<int:pk>/cancel/", fittings.cancel_fitting, name="cancel-fitting"),
    path("fittings/<int:pk>/photographs/", fittings.add_photo, name="add-photo"),
    path("fittings/<int:pk>/consent/", fittings.photo_consent, name="photo-consent"),
    path("photographs/<int:pk>/delete/", fittings.delete_photo, name="delete-photo"),
    path("clients/", clients.show_clients, name="clients"),
    path("clients/<int:pk>/", clients.show_client, name="client"),
    path("wearers/<int:pk>/", clients.show_wearer, name="wearer"),
    path("wearers/<int:pk>/fit/", clients.note_fit, name="fit"),
    path("wearers/<int:pk>/erase/", clients.erase_wearer, name="erase-wearer"),
    path("prices/", prices.show_prices, name="prices"),
    path("prices/buying/", buying.show_buying, name="buying"),
    path("prices/files/", importing.look_through, name="import-prices"),
    path("prices/files/take/", importing.take_in, name="take-prices"),
    *(
        path(f"prices/{name}.csv", importing.export_prices, {"name": name}, name=f"export-{name}")
        for name in PRICE_FILES
    ),
    path("prices/rates/", prices.edit_rates, name="rates"),
    path("prices/cloths/new/", prices.add_cloth, name="add-cloth"),
    path("prices/cloths/<int:pk>/", prices.edit_cloth, name="cloth"),
    path("prices/cloths/<int:pk>/stock/", prices.move_stock, name="move-stock"),
    path("prices/cloths/<int:pk>/picture/", prices.set_swatch, name="set-swatch"),
    path("prices/cloths/<int:pk>/bought/", buying.buy_cloth, name="buy-cloth"),
    path("prices/cloths/<int:pk>/set-aside/", buying.set_cloth_aside, name="set-cloth-aside"),
    path("prices/notions/new/", prices.add_notion, name="add-notion"),
    path("prices/notions/<int:pk>/", prices.edit_notion, name="notion"),
    path("prices/notions/<int:pk>/bought/", buying.buy_notion, name="buy-notion"),
    path("money/", money.show_money, name="money"),
    *(
        path(f"money/{name}.csv", money.export_statement, {"name": name}, name=f"export-{name}")
        for name in EXPORTS
    ),
    path("house/", house.show_house, name="house"),
    path("settings/", settings.show_settings, name="settings"),
    path("settings/hours/", settings.set_hours, name="set-hours"),
    path("settings/closed/", settings.close_days, name="close-days"),
    path("settings/closed/<int:pk>/reopen/", settings.reopen_days, name="reopen-days"),
    path("settings/holidays/", holidays.show_holidays, name="holidays"),
    path("settings/holidays/where/", holidays.set_place, name="place"),
    path("settings/staff/new/", settings.add_staff, name="add-staff"),
    path("settings/staff/<int:pk>/", settings.edit_staff, name="edit-staff"),
]
