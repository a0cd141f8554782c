"""A painting planned from a picture: areas, passes, amounts, waits, the sheet for the easel."""
