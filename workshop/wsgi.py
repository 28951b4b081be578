"""The door for a production server."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "workshop.settings")
application = get_wsgi_application()

from handover import pdf  # noqa: E402  (Django stands only now)

pdf.warm()  # loading what draws takes half a second: the first to issue a sheet shall not wait for it
