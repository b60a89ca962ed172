"""The two ramps from good to bad that colour the track.

Made once by mixing four colours in the OKLab space (teal, ochre, rust, wine;
for dark paper teal, lilac, amber, cream) with lightness in equal steps, so that
each step is as far from the next as any other, in colour and in grey.
"""

LIGHT_RAMP: tuple[str, ...] = (
    *("#4fb0a8", "#5faa98", "#6ba389", "#759d79", "#7e9668", "#868f56"),
    *("#8c8843", "#92812b", "#977911", "#9a710d", "#9c6909", "#9e6105"),
    *("#9f5901", "#a05000", "#a14700", "#a23d00", "#9e3605", "#993214"),
    *("#942e1d", "#8f2a23", "#892528", "#84202c", "#7f1b30", "#7a1633"),
)
"""On paper: good is light, bad is dark."""

DARK_RAMP: tuple[str, ...] = (
    *("#2f7f8c", "#458291", "#568495", "#66869a", "#74889f", "#828aa3"),
    *("#8f8ca8", "#9c8ead", "#a991ae", "#b794a6", "#c4979e", "#d19a95"),
    *("#df9c8c", "#ec9e82", "#f9a076", "#ffa269", "#ffa96a", "#ffb273"),
    *("#ffbc7c", "#ffc585", "#ffce8e", "#ffd797", "#ffe09f", "#ffe9a8"),
)
"""On dark: good is dim, bad is bright."""
