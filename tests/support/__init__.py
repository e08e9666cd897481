"""What several tests share: a small rulebook, generators, slow references."""
