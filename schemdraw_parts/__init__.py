"""Drive-wiring drawing elements for schemdraw, in millimetres, with anchors named by terminal.

Usable alone; nothing here knows of binders. See `schemdraw_parts.gallery` for pictures of every part.
"""
