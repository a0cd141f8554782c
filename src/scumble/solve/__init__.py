"""Questions asked backwards: from readings to optics."""
