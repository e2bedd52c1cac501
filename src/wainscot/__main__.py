"""So that ``python -m wainscot`` works as well."""

from wainscot.cli import main

if __name__ == "__main__":
    main(prog_name="wainscot")
