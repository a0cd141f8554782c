"""``python -m scumble``: the same as the command ``scumble``."""

from scumble.cli.main import run

if __name__ == "__main__":
    run()
