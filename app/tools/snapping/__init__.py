"""Where the pointer is pulled to: ends, places, ports, angles and the grid."""
