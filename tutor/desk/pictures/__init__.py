"""Pictures of networks: where every line and every word goes, and SVG and PNG made of it."""
