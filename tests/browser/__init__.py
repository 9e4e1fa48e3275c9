"""The manual as its reader meets it, in a browser without a network."""
