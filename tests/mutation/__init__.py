"""Data mutation: every rule of the library is changed a little, and some case of it must notice."""
