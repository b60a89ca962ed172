"""A child process that reads pictures nobody vouches for.

A drawing of the benchwork comes from anywhere: such a file may hang its reader or
eat all memory. So it is read here, with limits on time and memory, and handed
back as a plain PNG or JPEG. Start it as `python -m app.rasterworker`.
"""
