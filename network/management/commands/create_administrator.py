"""Make a network administrator: there is no default account."""

import os
from getpass import getpass
from typing import Any

from allauth.account.models import EmailAddress
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import transaction

from network.models import User


class Command(BaseCommand):
    help = "Make a network administrator. Asks for the password, or takes it from ADMINISTRATOR_PASSWORD."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("email")
        parser.add_argument("name")

    def handle(self, *args: Any, **options: Any) -> None:
        email = options["email"].lower()
        if User.objects.filter(email__iexact=email).exists():
            raise CommandError(f"{email} is somebody already.")
        password = os.environ.get("ADMINISTRATOR_PASSWORD") or getpass("Password, at least 15 characters: ")
        person = User(email=email, name=options["name"], is_administrator=True)
        try:
            person.clean_fields(exclude=["password"])
            validate_password(password, person)
        except ValidationError as problem:
            raise CommandError(" ".join(problem.messages)) from problem
        person.set_password(password)
        with transaction.atomic():
            person.save()
            EmailAddress.objects.create(user=person, email=email, verified=True, primary=True)
        self.stdout.write(f"{email} may sign in and will be asked for a second factor.")
