"""How copies lie on the sheet."""
