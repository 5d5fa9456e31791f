"""The shop-floor computations: pure functions, numbers in, numbers out. DEVELOPERS.md lists the modules."""
