"""`python -m printworthy`, and the command of that name. Light: every process of a crew loads it again."""


def main() -> None:
    """Run a verb."""
    from printworthy.cli import main

    main()


if __name__ == "__main__":
    main()
