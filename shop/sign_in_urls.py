"""Where the addresses lead of signing in, and of who may."""

from django.urls import path

from shop.views import new_password, own_access, sign_in, staff

sign_in_patterns = [
    path("login/", sign_in.sign_in, name="login"),
    path("login/code/", sign_in.login_code, name="login_code"),
    path("login/forgotten/", new_password.password_forgotten, name="password_forgotten"),
    path("login/new/", new_password.password_new, name="password_new"),
    path("logout/", sign_in.sign_out, name="logout"),
]
access_patterns = [
    path("own/", own_access.own_access, name="own_access"),
    path("own/stay/", own_access.own_stay, name="own_stay"),
    path("own/password/", own_access.password_change, name="password_change"),
    path("own/e-mail/", own_access.own_email, name="own_email"),
    path("own/second-step/", own_access.second_step, name="second_step"),
    path("own/second-step/off/", own_access.second_step_off, name="second_step_off"),
    path("own/recovery-codes/", own_access.recovery_codes, name="recovery_codes"),
    path("own/elsewhere/end/", own_access.sessions_end, name="sessions_end"),
    path("staff/", staff.staff, name="staff"),
    path("staff/log/", staff.access_log, name="access_log"),
    path("staff/log/check/", staff.access_log_check, name="access_log_check"),
    path("staff/<int:pk>/", staff.staff_person, name="staff_person"),
    path("staff/<int:pk>/new-password/", staff.staff_way, name="staff_way"),
    path("staff/<int:pk>/second-step/off/", staff.staff_step_off, name="staff_step_off"),
    path("staff/<int:pk>/may-sign-in/", staff.staff_let_in, name="staff_let_in"),
]
