"""Forms at the door: sign in, and the first owner."""

from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError

from workshop.core.forms import ActForm
from workshop.core.models import User


class SignInForm(AuthenticationForm):
    """Name and password."""

    use_required_attribute = False
    error_messages = {
        "invalid_login": "Name and password do not match. Check both: capitals count.",
        "inactive": "This person may not sign in any more. Ask the owner.",
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = "Name"
        self.fields["username"].error_messages["required"] = "Type your name."
        self.fields["password"].error_messages["required"] = "Type your password."


class NewUserForm(ActForm):
    """A person who will sign in: a short name, a spoken name and a password."""

    username = forms.CharField(
        label="Sign-in name",
        max_length=40,
        help_text="Short, without spaces, like ana.",
        widget=forms.TextInput(attrs={"autocomplete": "username"}),
    )
    first_name = forms.CharField(
        label="Name spoken at the bench", max_length=40, widget=forms.TextInput(attrs={"autocomplete": "given-name"})
    )
    password = forms.CharField(
        label="Password",
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text="Ten characters or more.",
    )

    # The sign-in name stands right above the password: that is the pair a password manager keeps.
    field_order = ["first_name", "username", "password"]

    def clean_username(self) -> str:
        """Refuse a name that is taken or has spaces."""
        name: str = self.cleaned_data["username"].strip().lower()
        if " " in name:
            raise ValidationError("A sign-in name has no spaces. Use a dash or a dot.")
        if User.objects.filter(username__iexact=name).exists():
            raise ValidationError("Somebody has this sign-in name. Choose another.")
        return name

    def clean_password(self) -> str:
        """Refuse a short or common password."""
        password: str = self.cleaned_data["password"]
        validate_password(password)
        return password


class FirstOwnerForm(NewUserForm):
    """The first person, who owns the workshop."""
