"""`python -m simgate` is `simgate`."""

from simgate.cli.main import main

raise SystemExit(main())
