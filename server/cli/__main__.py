"""`python -m server.cli`: the command line without its script."""

from server.cli import main

main()
