"""``python -m foldspan``: the same commands, where the folder of programs is not on the path."""

from foldspan.cli import main

if __name__ == "__main__":  # a worker process of a screening loads this module once more
    main()
