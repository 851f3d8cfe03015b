"""How people write networks, values and answers. Knows no physics."""
