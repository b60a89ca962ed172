"""The two ramps from good to bad that colour the track.

Made once by mixing four colours in the OKLab space: teal, ochre, rust and wine on
paper; teal, lilac, amber and cream on dark. Good runs to a third of it, tolerable
to two thirds. Lightness only ever falls (on dark: rises), least inside what is
good and most inside what is poor, so that the ramp reads in grey and by people
who do not tell red from green.
"""

LIGHT_RAMP: tuple[str, ...] = (
    *("#53b9ae", "#69b6a1", "#7bb294", "#8aaf86", "#98ab78", "#a4a769"),
    *("#afa258", "#ba9d44", "#c19733", "#c38f30", "#c3862e", "#c47e2b"),
    *("#c47528", "#c56c25", "#c46323", "#c45920", "#bd5023", "#b24827"),
    *("#a8402a", "#9d382d", "#932f2e", "#89262f", "#7f1d2f", "#75132f"),
)
"""On paper: good is light, bad is dark."""

DARK_RAMP: tuple[str, ...] = (
    *("#2f7f8c", "#418090", "#508193", "#5d8197", "#68829a", "#74829e"),
    *("#7e83a2", "#8883a6", "#9384a5", "#a0869d", "#ad8994", "#b98b8a"),
    *("#c68c80", "#d28d75", "#de8e69", "#eb8f5a", "#f1975c", "#f4a367"),
    *("#f6af72", "#f9ba7d", "#fbc688", "#fcd292", "#fedd9d", "#ffe9a8"),
)
"""On dark: good is dim, bad is bright."""
