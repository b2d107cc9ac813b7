"""The web server's way in."""

import os
import sys

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
# Short turns between threads: a plan that is being computed must not hold up a tick at the saw.
sys.setswitchinterval(0.001)

application = get_wsgi_application()
