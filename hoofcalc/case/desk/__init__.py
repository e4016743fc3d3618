"""The measuring desk: the screens on which a case is measured."""
