"""Right-to-left names are joined and ordered."""

from core.sheet.scripts import join_letters, paper_order


def test_arabic_letters_take_the_forms_of_their_place() -> None:
    # The Unicode Standard, block Arabic Presentation Forms-B: meem initial FEE3,
    # hah medial FEA4, tah medial FEC4, teh marbuta final FE94.
    assert join_letters("محطة") == "\ufee3\ufea4\ufec4\ufe94"


def test_a_letter_that_does_not_reach_on_leaves_the_next_alone() -> None:
    # Dal joins only backwards: dal isolated FEA9, reh isolated FEAD.
    assert join_letters("در") == "\ufea9\ufead"


def test_lam_and_alef_become_one_sign() -> None:
    # Lam with alef, isolated: FEFB; after a joining letter (beh initial FE91) FEFC.
    assert join_letters("لا") == "\ufefb"
    assert join_letters("بلا") == "\ufe91\ufefc"


def test_other_scripts_are_left_alone() -> None:
    assert join_letters("Łódź Кольцо") == "Łódź Кольцо"


def test_hebrew_is_put_down_from_the_right() -> None:
    assert paper_order("תחנה") == "הנחת"


def test_latin_around_it_stays_where_it_is() -> None:
    assert paper_order("Gleis תחנה alt") == "Gleis הנחת alt"


def test_figures_in_it_keep_their_order() -> None:
    # Annex 9: a number after right-to-left letters stands to their left.
    assert paper_order("תחנה 12") == "12 הנחת"


def test_brackets_in_it_turn_round() -> None:
    assert paper_order("א(ב)ג") == "ג(ב)א"


def test_marks_stay_on_their_letters() -> None:
    # Shin with shin dot, then lamed.
    assert paper_order("ש\u05c1ל") == "לש\u05c1"


def test_a_vowel_mark_does_not_part_letters() -> None:
    # Beh initial FE91, fatha, then beh final FE90.
    assert join_letters("ب\u064eب") == "\ufe91\u064e\ufe90"
