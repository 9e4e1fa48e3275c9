"""Published values beside ours."""
