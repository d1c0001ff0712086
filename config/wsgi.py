"""The web application for a WSGI server."""

import os

import config.celery
from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
celery_app = config.celery.app  # tasks sent from the web use this application
application = get_wsgi_application()
