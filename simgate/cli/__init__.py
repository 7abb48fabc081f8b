"""The command line: arguments to calls. No gate logic."""
