"""`python -m benchlore` does what the `benchlore` command does."""

from benchlore.cli.main import run

if __name__ == "__main__":
    run()
