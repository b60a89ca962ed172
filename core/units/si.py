"""SI quantities: a type for each unit, so that a bare float cannot cross a door.

Each is a float at run time and costs nothing; the type checker refuses an `Ohm`
where a `Metre` is asked for.
"""

from typing import NewType

Metre = NewType("Metre", float)
"""Length. [m]"""

Millimetre = NewType("Millimetre", float)
"""Length on plan or paper, or a wire's diameter. [mm]"""

SquareMetre = NewType("SquareMetre", float)
"""Area of a conductor's section. [m²]"""

Ohm = NewType("Ohm", float)
"""Resistance. [Ω]"""

OhmPerMetre = NewType("OhmPerMetre", float)
"""Resistance of one conductor by length. [Ω/m]"""

Henry = NewType("Henry", float)
"""Inductance of a loop. [H]"""

HenryPerMetre = NewType("HenryPerMetre", float)
"""Inductance of a loop by its one-way length. [H/m]"""

Farad = NewType("Farad", float)
"""Capacitance. [F]"""

FaradPerMetre = NewType("FaradPerMetre", float)
"""Capacitance of a pair by its one-way length. [F/m]"""

Volt = NewType("Volt", float)
"""Potential difference. [V]"""

Ampere = NewType("Ampere", float)
"""Current. [A]"""

Watt = NewType("Watt", float)
"""Power. [W]"""

Second = NewType("Second", float)
"""Time. [s]"""

Hertz = NewType("Hertz", float)
"""Frequency. [Hz]"""

Celsius = NewType("Celsius", float)
"""Temperature. [°C]"""
