"""`python -m dxf2turn` is the command line."""

from dxf2turn.cli import main

if __name__ == "__main__":
    main()
