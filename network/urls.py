"""Addresses of the network."""

from django.urls import path

from network import api
from network.views import api_tokens, applying, deciding, finding, notices, papers, pictures, signing, workshop

urlpatterns = [
    path("", finding.find, name="find"),
    path("workshops/<int:pk>/", finding.workshop, name="workshop"),
    path("proof/", finding.proof, name="proof"),
    path("apply/", applying.apply, name="apply"),
    path("application/", applying.application, name="application"),
    path("memberships/<int:pk>/agree/", applying.membership_agree, name="membership_agree"),
    path("applications/", deciding.applications, name="applications"),
    path("applications/<int:pk>/", deciding.application_decide, name="application_decide"),
    path("notices/", notices.notices, name="notices"),
    path("notices/<int:pk>/open/", notices.notice_open, name="notice_open"),
    path("notices/choose/", notices.notices_choose, name="notices_choose"),
    path("no-more-mails/<str:token>/", notices.unsubscribe, name="unsubscribe"),
    path("notices/stuck/", notices.notices_stuck, name="notices_stuck"),
    path("our-workshop/", workshop.our_workshop, name="our_workshop"),
    path("our-workshop/papers/new/", papers.paper_new, name="paper_new"),
    path("papers/<int:pk>/", papers.paper_decide, name="paper_decide"),
    path("our-workshop/tokens/", api_tokens.tokens, name="api_tokens"),
    path("our-workshop/tokens/<int:pk>/", api_tokens.token, name="api_token"),
    path("signing-code/", signing.signing_code, name="signing_code"),
    path("act-for/", workshop.act_for, name="act_for"),
    path("pictures/<int:pk>/", pictures.picture, name="picture"),
    path("shared-pictures/<int:pk>/", pictures.shared_picture, name="shared_picture"),
    path("api/v1/workshops/near", api.near, name="near"),
]
