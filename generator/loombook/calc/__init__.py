"""Pure functions on SI floats, one physical topic a module; published data in `tables/`."""
