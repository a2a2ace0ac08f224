"""Records and engineering brought together: the figures of a drive and of the site."""

from binder.sizing.topics import drive_figures, site_figures

__all__ = ["drive_figures", "site_figures"]
