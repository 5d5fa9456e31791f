"""One module a command: `add_arguments(parser)` and `run(options) -> exit code`."""
