"""Loading this module loads the fonts as well: every process forked afterwards has them."""

from __future__ import annotations

from binder.publishing.form_fields import typed_face
from binder.publishing.packet import packed_fonts

packed_fonts()
typed_face()
