"""Keep and fetch: the shelf's database and the open file formats."""
