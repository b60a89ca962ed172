"""What is asked of the sheet."""

from datetime import date

from PySide6.QtCore import QLocale

from app.panels.printing import Wishes


def test_the_date_is_iso_in_every_country() -> None:
    # ISO 8601, as `date.isoformat` writes it; a German desk would say 26.11.26.
    here = QLocale()
    QLocale.setDefault(QLocale(QLocale.Language.German, QLocale.Country.Germany))
    try:
        before = date.today().isoformat()  # noqa: DTZ011 - as on the wall
        told = Wishes().today().date
        after = date.today().isoformat()  # noqa: DTZ011 - as on the wall
    finally:
        QLocale.setDefault(here)
    assert told in (before, after)
