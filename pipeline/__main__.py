"""`python -m pipeline`: the same as the command `witnessmark`."""

from pipeline.cli import main

main()
