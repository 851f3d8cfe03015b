"""Problems that go in stages rather than by reduction: changes, plates, ratings, unknowns."""
