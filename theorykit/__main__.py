"""``python -m theorykit`` is the command line."""

from theorykit.cli import main

if __name__ == "__main__":
    main()
