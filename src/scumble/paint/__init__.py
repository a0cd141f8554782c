"""The words of the trade as frozen values, how they will look and how they behave."""
