"""Addresses of the sourcing board."""

from django.urls import path

from parts.views import answers, board, borders, requests

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
]
