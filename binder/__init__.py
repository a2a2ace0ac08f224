"""One inventory workbook of a site's drives and motors in, one commissioning binder out."""

__version__ = "0.1.0"
