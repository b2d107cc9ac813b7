"""A checked copy of the whole database, downloaded by an owner."""

from __future__ import annotations

import tempfile
from pathlib import Path

from django.conf import settings
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from shop.running import backup
from stock.web.requests import HtmxRequest, owner_only


@owner_only
@require_POST
def download(request: HtmxRequest) -> HttpResponse:
    """Make the copy, hand it over, and keep none here."""
    name = backup.usual_name(timezone.localtime())
    try:
        with tempfile.TemporaryDirectory(dir=settings.DATA_DIR) as folder:
            target = Path(folder) / name
            backup.back_up(target)
            copy = target.read_bytes()
    except (backup.BackupError, OSError) as error:
        messages.error(request, f"No copy was made. {error}")
        return redirect("shop:settings")
    response = HttpResponse(copy, content_type="application/octet-stream")
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    response["Cache-Control"] = "no-store"
    return response
