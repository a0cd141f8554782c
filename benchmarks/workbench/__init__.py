"""How quick, how light and how exact the pages are: ``python -m benchmarks.workbench``."""
