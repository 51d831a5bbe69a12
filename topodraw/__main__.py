"""`python -m topodraw` is the command."""

from topodraw.cli import main

main()
