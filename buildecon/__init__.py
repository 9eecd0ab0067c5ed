"""What a project car cost, what it is worth, what keeping it costs, and whether to build or buy."""

__version__ = "0.1.0"
