"""`python -m kerfwright`."""

from __future__ import annotations

from kerfwright.shell import main

if __name__ == "__main__":
    main()
