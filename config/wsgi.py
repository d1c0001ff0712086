"""The web application for a WSGI server."""

import os

from django.core.wsgi import get_wsgi_application

from config.celery import app

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
celery_app = app  # tasks sent from the web use this application
application = get_wsgi_application()
