"""A learner's own copy of the course, and the server that opens it."""
