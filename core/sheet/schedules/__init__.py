"""The schedules as data: what pages and CSV both set out."""
