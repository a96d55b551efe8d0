"""`python -m printworthy`."""

from printworthy.cli import main

if __name__ == "__main__":
    main()
