"""What a boat with a known fault truly shows: the independent oracle for the tests of the diagnosis."""
