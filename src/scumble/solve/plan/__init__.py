"""From a picture to passes: areas, what comes near them, and the choice among it."""
