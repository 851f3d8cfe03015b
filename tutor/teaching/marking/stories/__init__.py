"""Working of problems in stages, marked by the questions of their stories."""
