"""The whole documentation as pages that are read without a network."""
