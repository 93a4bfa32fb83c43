"""Addresses of the sourcing board and of part numbers."""

from django.urls import path

from parts.views import answers, board, borders, number_facts, numbers, requests

urlpatterns = [
    path("board/", board.board, name="board"),
    path("board/new/", requests.request_new, name="request_new"),
    path("board/<int:pk>/", requests.request_page, name="request"),
    path("board/<int:pk>/answer/", answers.answer_new, name="answer_new"),
    path("board/<int:pk>/receive/", requests.request_receive, name="request_receive"),
    path("board/<int:pk>/withdraw/", requests.request_withdraw, name="request_withdraw"),
    path("borders/", borders.border_rates, name="border_rates"),
    path("answers/<int:pk>/accept/", answers.answer_accept, name="answer_accept"),
    path("answers/<int:pk>/withdraw/", answers.answer_withdraw, name="answer_withdraw"),
    path("numbers/", numbers.numbers, name="numbers"),
    path("numbers/new/", numbers.number_new, name="number_new"),
    path("numbers/<int:pk>/", numbers.number, name="number"),
    path("numbers/<int:pk>/families/", numbers.number_families, name="number_families"),
    path("numbers/<int:pk>/revisions/new/", number_facts.revision_new, name="revision_new"),
    path("numbers/<int:pk>/supply/new/", number_facts.supply_new, name="supply_new"),
    path("numbers/<int:pk>/supersessions/new/", number_facts.supersession_new, name="supersession_new"),
    path("supersessions/<int:pk>/confirm/", number_facts.supersession_confirm, name="supersession_confirm"),
    path("supersessions/<int:pk>/dispute/", number_facts.supersession_dispute, name="supersession_dispute"),
    path("supersessions/<int:pk>/lift/", number_facts.supersession_lift, name="supersession_lift"),
    path("supersessions/<int:pk>/take-back/", number_facts.supersession_take_back, name="supersession_take_back"),
]
