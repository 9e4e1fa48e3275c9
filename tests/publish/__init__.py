"""From a finished manual to files."""
