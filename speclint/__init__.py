"""speclint: keeps spec-class electric model cars legal, from plain text in git.

Importing this package costs nothing: every room below loads only when used.
"""

from typing import Final

__all__ = ["__version__"]

__version__: Final = "0.1.0"
