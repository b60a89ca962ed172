"""Every fault planted in a sample: found, named, and nothing beside them.

The faults are those of needs.md section 10 (S1, S2, S4, S6), and of Fennimarsh Loops
and Lorrimoor Shed, which are our own. What the layout cannot say yet stands with its
reason under "later" beside the sample.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import pytest

from core.analysis.examine import study_layout
from core.checks.finding import Finding, Severity
from core.checks.run import run_checks
from tests.samples.build import SAMPLES, build_sample
from tests.samples.test_files import expected


@dataclass(frozen=True, slots=True)
class Planted:
    """One fault, what finds it, and words that its finding must have."""

    sample: str
    fault: str
    code: str
    part: str
    words: str


TABLE = (
    # S1: D4 swapped; S2 unfed; T2's heel gap; D6 on a joist; a wrong label.
    Planted("dapplecombe-sidings", "F1", "W103", "D4", "wired the wrong way round"),
    Planted("dapplecombe-sidings", "F2", "W101", "R4", "Spur S2 has no power"),
    Planted("dapplecombe-sidings", "F3", "W115", "T2", "With T2 thrown"),
    Planted("dapplecombe-sidings", "F4", "W501", "D6", "goes into joist"),
    Planted("dapplecombe-sidings", "F5", "W205", "D9", "labelled D6"),
    # S2: drops 0.8 m apart; taps too big for the drops' wire; the siding beyond the
    # diamond crossed; metal in a frog gap.
    Planted("orrinside-quay", "F1", "W213", "R1", "800 mm apart"),
    Planted("orrinside-quay", "F2", "W505", "D1", "does not fit a bus of 1.5 mm²"),
    Planted("orrinside-quay", "F3", "W106", "X1", "meets the left rail of Siding 3"),
    Planted("orrinside-quay", "F4", "W129", "G1", "the frog of T3"),
    # S4: gap between CB2 and CB3; booster at 10 ms; filter; TS5; 30 m of bus;
    # programming siding on two poles; a live side of the gate; buses held fast to it.
    Planted("thistlewick-junction", "F1", "W125", "G2", "where CB2 and CB3 meet"),
    Planted("thistlewick-junction", "F2", "W303", "PB1", "trips in 10 ms and wins"),
    Planted("thistlewick-junction", "F3", "W211", "L10", "always reads as occupied"),
    Planted("thistlewick-junction", "F4", "W103", "TS5", "wired the wrong way round"),
    Planted("thistlewick-junction", "F5", "W128", "SW1", "joins it to Lower deck"),
    Planted("thistlewick-junction", "F7", "W507", "LO1", "on the back side"),
    Planted("thistlewick-junction", "F6", "W212", "OD2", "may read as a train"),
    Planted("thistlewick-junction", "F8", "W509", "LO1", "it cannot be swung open"),
    # S6: TS6 turned; two legs labelled as each other; one-rail gap; bell wire; volts; phase; common; a stray drop.
    Planted("wulfenmoor-regional", "F1", "W103", "TS6", "wired the wrong way round"),
    Planted("wulfenmoor-regional", "F2", "W215", "B3", "labelled as each other"),
    Planted("wulfenmoor-regional", "F3", "W125", "G1", "cuts only the left rail"),
    Planted("wulfenmoor-regional", "F4", "W203", "B7", "good for 1.50 A"),
    Planted("wulfenmoor-regional", "F4", "W301", "R9", "it may never trip"),
    Planted("wulfenmoor-regional", "F5", "W122", "T8", "differ by 0.80 V"),
    Planted("wulfenmoor-regional", "F6", "W123", "G2", "opposite phase"),
    Planted("wulfenmoor-regional", "F7", "W404", "PB1", "Two answers"),
    Planted("wulfenmoor-regional", "F8", "W104", "D53", "hangs free"),
    # Our own: see FAULTS in lorrimoor.py.
    Planted("lorrimoor-shed", "F1", "W117", "R6", "At stall 5 (Road 5)"),
    Planted("lorrimoor-shed", "F2", "W118", "R2", "on the cut of its ring"),
    Planted("lorrimoor-shed", "F3", "W117", "R10", "At stall 3 (Beyond 2)"),
    Planted("lorrimoor-shed", "F4", "W132", "R11", "Beyond 3 ends 14 mm short of TT2"),
    # Our own: see FAULTS in fennimarsh.py.
    Planted("fennimarsh-loops", "F1", "W123", "PB2", "30.00 V across the gap"),
    Planted("fennimarsh-loops", "F2", "W112", "G2", "the only cut"),
    Planted("fennimarsh-loops", "F3", "W114", "G4", "no reverser feeds it"),
    Planted("fennimarsh-loops", "F4", "W115", "T6", "With T6 thrown"),
    Planted("fennimarsh-loops", "F5", "W116", "R5", "through the contact of T7"),
    Planted("fennimarsh-loops", "F6", "W211", "L3", "always reads as occupied"),
    Planted("fennimarsh-loops", "F7", "W127", "D9", "past it"),
    Planted("fennimarsh-loops", "F8", "W103", "D19", "wired the wrong way round"),
    Planted("fennimarsh-loops", "F9", "W303", "AR1", "CB1 trips in 16 ms"),
)

FAULTS_OF = {
    "dapplecombe-sidings": 5,
    "orrinside-quay": 4,
    "thistlewick-junction": 8,
    "wulfenmoor-regional": 8,
    "fennimarsh-loops": 9,
    "lorrimoor-shed": 4,
}
"""How many faults each scenario plants."""


def findings(name: str) -> tuple[Finding, ...]:
    return run_checks(study_layout(build_sample(name)))


def _ids(planted: Planted) -> str:
    return f"{planted.sample}-{planted.fault}-{planted.code}"


@pytest.mark.parametrize("planted", TABLE, ids=_ids)
def test_it_is_found_and_named(planted: Planted) -> None:
    hits = [
        finding
        for finding in findings(f"{planted.sample}-faults")
        if finding.code == planted.code and planted.part in finding.parts
    ]
    assert [planted.words in hit.sentence for hit in hits] == [True]


@pytest.mark.parametrize("planted", TABLE, ids=_ids)
def test_it_is_not_found_where_it_was_not_planted(planted: Planted) -> None:
    for finding in findings(planted.sample):
        assert (finding.code, planted.part) != (planted.code, finding.parts[0])


@pytest.mark.parametrize("sample", sorted(FAULTS_OF))
def test_each_planted_fault_is_found_or_said_to_be_beyond_the_parts(
    sample: str,
) -> None:
    found = {planted.fault for planted in TABLE if planted.sample == sample}
    later = {row["fault"] for row in expected(f"{sample}-faults")["later"]}
    assert not found & later
    assert found | later == {f"F{n + 1}" for n in range(FAULTS_OF[sample])}


@pytest.mark.parametrize("sample", sorted(FAULTS_OF))
def test_no_fault_is_invented(sample: str) -> None:
    # Beyond the planted ones there may be advice, which is written beside the file.
    planted = {(p.code, p.part) for p in TABLE if p.sample == sample}
    allowed = set(_side_effects(sample))
    for finding in findings(f"{sample}-faults"):
        if finding.severity is Severity.ADVICE:
            continue
        named = {(finding.code, part) for part in finding.parts}
        assert named & planted or (finding.code, finding.parts[0]) in allowed


def _side_effects(sample: str) -> Iterator[tuple[str, str]]:
    """Yield findings that follow from a planted fault, as written beside the file."""
    for row in expected(f"{sample}-faults")["findings"]:
        if "fault" in row:
            yield row["code"], row["part"]


@pytest.mark.parametrize("sample", sorted(FAULTS_OF))
def test_the_sound_one_gives_advice_at_most(sample: str) -> None:
    assert {finding.severity for finding in findings(sample)} <= {Severity.ADVICE}


def test_every_faulty_sample_is_in_the_table() -> None:
    faulty = {n.removesuffix("-faults") for n in SAMPLES if n.endswith("-faults")}
    assert faulty == set(FAULTS_OF)
