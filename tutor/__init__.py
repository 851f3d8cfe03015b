"""The tutor: from a network of capacitors to a dialogue about it."""
