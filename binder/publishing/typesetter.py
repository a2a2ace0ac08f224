"""Loading this module loads the fonts as well: every process forked afterwards has them."""

from __future__ import annotations

import gc

import binder.publishing.join  # noqa: F401
from binder.publishing.form_fields import typed_face
from binder.publishing.packet import packed_fonts

packed_fonts()
typed_face()
gc.freeze()  # what is here by now stays, and is neither looked through nor copied
