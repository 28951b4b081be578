"""The one door to the mail server: one message out, and what can be said of a failure."""

import re
import smtplib
from urllib.parse import urlsplit

from django.conf import settings
from django.core.mail import EmailMessage, get_connection

from workshop.core.words import full_stop


class NotSent(Exception):
    """It certainly did not go out. `again`: another try may help; `why`: a reason without the address."""

    def __init__(self, why: str, *, again: bool) -> None:
        super().__init__(why)
        self.why, self.again = why, again


class MaybeSent(Exception):
    """The server went silent after it had the message: whether it goes out is not known, so nobody tries again."""

    def __init__(self, why: str) -> None:
        super().__init__(why)
        self.why = why


def is_set() -> bool:
    """Say whether this workshop has set a mail server."""
    return bool(settings.EMAIL_HOST)


def send(*, to: str, subject: str, text: str, number: int) -> None:
    """Send one message; `number` makes its Message-ID, the same at each try.

    :raises NotSent: when it did not go out. :raises MaybeSent: when that is not known
    """
    host = urlsplit(settings.PUBLIC_URL).hostname or "localhost"
    headers = {"Message-ID": f"<care-{number}@{host}>", "Auto-Submitted": "auto-generated"}
    server = get_connection(fail_silently=False)
    try:
        server.open()
    except smtplib.SMTPResponseException as refused:
        raise NotSent(_said(refused.smtp_code, refused.smtp_error, to), again=_again(refused.smtp_code)) from refused
    except (smtplib.SMTPException, OSError) as silent:
        raise NotSent(f"The mail server was not reached: {_reason(silent)}", again=True) from silent
    try:
        EmailMessage(subject, text, to=[to], headers=headers, connection=server).send()
    except smtplib.SMTPRecipientsRefused as refused:
        code, words = next(iter(refused.recipients.values()))
        raise NotSent(_said(code, words, to), again=_again(code)) from refused
    except smtplib.SMTPResponseException as refused:
        raise NotSent(_said(refused.smtp_code, refused.smtp_error, to), again=_again(refused.smtp_code)) from refused
    except smtplib.SMTPNotSupportedError as refused:
        raise NotSent(f"The mail server cannot take it: {_reason(refused)}", again=False) from refused
    except (smtplib.SMTPException, OSError) as silent:
        raise MaybeSent(f"The mail server went silent: {_reason(silent)}") from silent
    finally:
        _close(server)


def _again(code: int) -> bool:
    return code < 500  # RFC 5321, 4.2.1: 4yz is transient, 5yz permanent


def _said(code: int, words: bytes | str, to: str) -> str:
    text = words.decode("utf-8", "replace") if isinstance(words, bytes) else words
    without = re.sub(re.escape(to), "the address", text, flags=re.IGNORECASE)  # a server may repeat it in small letters
    return f"The mail server said {code}: {full_stop(without[:160])}"


def _reason(error: Exception) -> str:
    words = getattr(error, "strerror", None) or str(error) or type(error).__name__
    return full_stop(str(words)[:120])


def _close(server: object) -> None:
    try:
        server.close()  # type: ignore[attr-defined]  # every backend has it
    except (smtplib.SMTPException, OSError):
        return  # the message has gone or not gone before this
