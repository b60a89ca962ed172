"""The whole sheet: its chapters in order, as pages and as a file."""

from collections.abc import Callable, Iterable
from pathlib import Path

from core.analysis.study import Study
from core.checks.finding import Finding
from core.sheet.brief import Ask, Brief, Options, Pace, Stopped
from core.sheet.frame import Leaf, finish_pages
from core.sheet.joining import join_leaves
from core.sheet.marks import Page
from core.sheet.pages import (
    cautions,
    cover,
    cuts,
    drops,
    labels,
    notes,
    pits,
    plan,
    ringout,
    wiring,
)
from core.sheet.pages import findings as found
from core.sheet.pages.proving import (
    coins,
    conductors,
    guards,
    maps,
    profiles,
    readings,
    weak_links,
)
from core.sheet.pages.track import crossings, gaps, openings, programming, turnouts
from core.sheet.typeface import Typeface

Progress = Ask
"""Called with a share from 0 to 1 and a few words; False means: stop."""

_Maker = Callable[[Brief], Iterable[Leaf]]

_SHORT = frozenset(
    {
        gaps.TITLE,
        openings.TITLE,
        programming.TITLE,
        turnouts.TITLE,
        crossings.TITLE,
        pits.TITLE,
    }
)
"""Chapters that follow each other on one page where they fit."""

_COMPOSING = 0.6
"""Share of the work that composing is, before the file is made. [1]"""


def write_sheet(
    study: Study,
    findings: tuple[Finding, ...],
    path: Path,
    *,
    options: Options | None = None,
    progress: Progress | None = None,
) -> bool:
    """Write the wiring sheet of a layout as a PDF file.

    Parameters
    ----------
    study : Study
        What was worked out; its layout may be empty or fed by nothing.
    findings : tuple of Finding
        The findings, worst first; may be empty.
    path : Path
        The file. It is replaced in one step when all is done.
    options : Options, optional
        Date, scale of plans, which pages.
    progress : callable, optional
        Called before each step; returning False stops the work.

    Returns
    -------
    bool
        True when written; False when stopped, and then no file is touched.

    Raises
    ------
    FileAccessError
        The file cannot be written, or the fonts are missing.
    """
    # Late, so that whoever only looks at pages does not load reportlab.
    from core.sheet.pdf import write_pdf  # noqa: PLC0415

    wanted = options or Options()
    typeface = Typeface(wanted.fonts)
    ask = progress or _go_on
    pace = Pace(lambda share, words: ask(share * _COMPOSING, words))
    brief = Brief(study, findings, wanted, typeface, pace)
    try:
        pages = _compose(brief)
    except Stopped:
        return False
    return write_pdf(
        pages,
        path,
        fonts=typeface.folder,
        title=f"{brief.settings.title}, rev {brief.settings.revision}: wiring sheet",
        progress=lambda share, words: ask(
            _COMPOSING + share * (1.0 - _COMPOSING), words
        ),
    )


def compose_sheet(
    study: Study, findings: tuple[Finding, ...], options: Options | None = None
) -> tuple[Page, ...]:
    """Return the pages of the wiring sheet as marks, for the screen."""
    wanted = options or Options()
    brief = Brief(study, findings, wanted, Typeface(wanted.fonts))
    return _compose(brief)


def _compose(brief: Brief) -> tuple[Page, ...]:
    chapters: list[cover.Chapter] = []
    leaves: list[Leaf] = []
    makers = tuple(_makers(brief.options))
    for number, (title, make) in enumerate(makers):
        first = len(leaves) + 2
        brief.pace.chapter(number / len(makers), 1.0 / len(makers), title)
        made: list[Leaf] = []
        for leaf in make(brief):
            made.append(leaf)
            brief.pace.step(0.5)
        if not made:
            continue
        joined = None
        if title in _SHORT and chapters and chapters[-1].title in _SHORT:
            joined = join_leaves(leaves[-1], tuple(made), brief.body, brief.typeface)
        if joined is not None:
            leaves[-1] = joined
            first -= 1
        else:
            leaves += made
        chapters.append(cover.Chapter(title, first))
    everything = (cover.cover_leaf(brief, chapters), *leaves)
    return finish_pages(everything, brief.imprint, brief.settings.paper, brief.typeface)


def _makers(options: Options) -> Iterable[tuple[str, _Maker]]:
    yield cautions.TITLE, cautions.caution_leaves
    yield notes.TITLE, notes.note_leaves
    yield found.TITLE, found.finding_leaves
    yield plan.PLAN_TITLE, plan.plan_leaves
    yield plan.UNDERSIDE_TITLE, plan.underside_leaves
    yield drops.TITLE, drops.drop_leaves
    yield wiring.BUS_TITLE, wiring.bus_leaves
    yield wiring.STRIP_TITLE, wiring.strip_leaves
    yield cuts.TITLE, cuts.cut_leaves
    if options.gaps:
        yield gaps.TITLE, gaps.gap_leaves
    yield openings.TITLE, openings.opening_leaves
    yield programming.TITLE, programming.programming_leaves
    if options.turnouts:
        yield turnouts.TITLE, turnouts.turnout_leaves
        yield crossings.TITLE, crossings.crossing_leaves
    yield pits.TITLE, pits.pit_leaves
    if options.maps:
        yield maps.TITLE, maps.map_leaves
        yield profiles.TITLE, profiles.profile_leaves
    if options.protection:
        yield guards.TITLE, guards.guard_leaves
        yield conductors.TITLE, conductors.conductor_leaves
    if options.ring_out:
        yield ringout.TITLE, ringout.ring_leaves
    if options.coins:
        yield coins.TITLE, coins.coin_leaves
    if options.volts:
        yield weak_links.TITLE, weak_links.weak_link_leaves
        yield readings.TITLE, readings.reading_leaves
    if options.labels:
        yield labels.TITLE, labels.label_leaves


def _go_on(_share: float, _words: str) -> bool:
    return True
