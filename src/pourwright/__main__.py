"""`python -m pourwright`, the same as the command."""

from pourwright.cli.main import main

if __name__ == "__main__":
    main()
