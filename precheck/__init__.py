"""precheck: may this old vehicle be used for this purpose on this day?"""

__version__ = "0.1.0"
