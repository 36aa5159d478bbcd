"""What is to be drawn: which parts, wires and stubs answer what was asked, before anything has a place?"""
