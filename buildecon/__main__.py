"""`python -m buildecon` is the `buildecon` command."""

from buildecon.cli import main

raise SystemExit(main())
