"""/accounts/"""

from django.urls import path

from registry.pages.people.entries import EndRole, GivePassword, Grant, Invite
from registry.pages.people.lists import RoleList

urlpatterns = [
    path("accounts/", RoleList.as_view(), name="role_list"),
    path("accounts/invite/", Invite.as_view(), name="invite"),
    path("accounts/grant/", Grant.as_view(), name="role_grant"),
    path("accounts/password/", GivePassword.as_view(), name="password_give"),
    path("accounts/roles/<int:pk>/end/", EndRole.as_view(), name="role_end"),
]
