"""A simulator of painted sample cards and their photographs; a separate program that never imports Scumble.

Its light comes from another engine than the product's (iadpython, adding-doubling), its colorimetry from
colour-science, its card from the product's printed PDF. Every paint in it is invented.
"""

import os

# Thousands of 32 x 32 systems: a second thread costs more than it brings. Only works before numpy is loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
