"""What if one thing were changed: predicted, then both sides shown and explained."""
