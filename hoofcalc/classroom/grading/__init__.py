"""Many hand-ins: marked, entered in a gradebook, shown as a class."""
