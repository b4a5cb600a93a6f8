"""Types of the first screen under their former place; for type checking only.

Importing this while running would put the module in the place of the function `start`.
"""

from assistant.terminal.first_screen import Doors, OpenCase, Opened, cases_in

__all__ = ["Doors", "OpenCase", "Opened", "cases_in"]
