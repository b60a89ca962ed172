"""Tables of wire, rail, joints, devices and loads, and their laws."""
