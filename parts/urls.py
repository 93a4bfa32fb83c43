"""Addresses of the sourcing board."""

from django.urls import path

from parts import views

urlpatterns = [
    path("board/", views.board, name="board"),
    path("board/new/", views.request_new, name="request_new"),
    path("board/<int:pk>/", views.request_page, name="request"),
    path("board/<int:pk>/answer/", views.answer_new, name="answer_new"),
    path("board/<int:pk>/receive/", views.request_receive, name="request_receive"),
    path("board/<int:pk>/withdraw/", views.request_withdraw, name="request_withdraw"),
    path("answers/<int:pk>/accept/", views.answer_accept, name="answer_accept"),
    path("answers/<int:pk>/withdraw/", views.answer_withdraw, name="answer_withdraw"),
]
