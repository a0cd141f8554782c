"""One tube: how it behaves, in sentences and figures."""
