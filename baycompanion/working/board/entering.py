"""What the board does for the ledger when it opens: it enters what ended and was left out."""

from datetime import datetime

from baycompanion.store.ledger.entering import enter_missing
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble


def mend_ledger(shop: Shop, when: datetime) -> str:
    """Enter the ended jobs of `shop` that are not in its ledger; return why it cannot be, or ""."""
    try:
        enter_missing(shop.folder, when)
    except StoreTrouble as trouble:
        return f"Jobs have ended that are not in the ledger yet. {trouble}"
    return ""
