"""Every cited document, once. Findings and tables name the id; pages show title, clause, status.

Status: V verified in the official text; V2 known from secondary texts only; V2* from a weak reprint
(confirm in the standard); C computed from a definition; M-H from memory, to be confirmed; CP common
practice, no source. Agreement with a value here is not conformity with the document it comes from.
"""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Source:
    id: str
    title: str
    edition: str = ""
    clause: str = ""
    status: str = ""


def _source(id: str, title: str, clause: str, status: str, edition: str = "") -> Source:
    return Source(id=id, title=title, clause=clause, status=status, edition=edition)


_CFR33 = "33 CFR part 183 subpart I, boats: electrical systems"
_AC43 = "FAA AC 43.13-1B, chapter 11"
_NEC = "NFPA 70, National Electrical Code"
_NFPA1901 = "NFPA 1901 as repeated in public purchase specifications"

SOURCES: tuple[Source, ...] = (
    _source("common-practice", "Common practice, no source", "", "CP"),
    _source("design-input", "This design's own data", "", "C"),
    _source("part-datasheet", "The part's datasheet, as entered in the catalog", "", ""),
    _source("unit-rating", "The vehicle's rating, as entered for the unit", "", ""),
    _source("kirchhoff", "Ohm's and Kirchhoff's laws", "", "C"),
    _source("33cfr183-425-t5", _CFR33, "183.425(b) table 5", "V"),
    _source("33cfr183-425-n1", _CFR33, "183.425(b) table 5 note 1", "M-H"),
    _source("33cfr183-425-n2", _CFR33, "183.425(b) table 5 note 2, 183.435(b)", "V2*"),
    _source("33cfr183-425e", _CFR33, "183.425(d)(e)(f)", "V"),
    _source("33cfr183-455a", _CFR33, "183.455(a)", "V"),
    _source("33cfr183-455b", _CFR33, "183.455(b)", "V"),
    _source("33cfr183-455c1", _CFR33, "183.455(c)(1)", "V"),
    _source("33cfr183-455c2", _CFR33, "183.455(c)(2)", "V"),
    _source("33cfr183-460", _CFR33, "183.460", "M-H"),
    _source("astm-b258", "ASTM B258, diameters of round wire", "gauge formula", "V2"),
    _source("iec-60028", "IEC 60028, resistance of copper", "annealed, 20 C", "M-H"),
    _source("nbs-copper", "NBS copper wire tables", "temperature coefficient", "V2"),
    _source("sae-j1127-j1128", "SAE J1127 and J1128, low-voltage cable", "smallest areas", "V2*"),
    _source("sae-j553", "SAE J553, circuit breakers", "types 1 to 3", "V2"),
    _source("iso-8820-3", "ISO 8820-3, blade fuses", "colours", "V2"),
    _source("iso-8820-5", "ISO 8820-5, bolt-down fuses", "ratings", "M-M"),
    _source("sae-j537", "SAE J537, storage batteries", "reserve capacity", "V2"),
    _source("bci", "Battery Council table", "rest voltage, flooded, 80 F", "V2"),
    _source("peukert", "Peukert's relation for a capacity at a stated rate", "", "C"),
    _source("ac43-t11-3", _AC43, "table 11-3", "V", "1B"),
    _source("ac43-t11-4", _AC43, "table 11-4", "V", "1B"),
    _source("ac43-t11-6", _AC43, "table 11-6", "V", "1B"),
    _source("ac43-t11-7", _AC43, "tables 11-7 and 11-8", "V", "1B"),
    _source("ac43-t11-9", _AC43, "table 11-9", "V", "1B"),
    _source("ac43-11-35", _AC43, "paragraph 11-35", "V", "1B"),
    _source("ac43-11-66", _AC43, "paragraph 11-66", "V", "1B"),
    _source("abyc-e11", "ABYC E-11 as quoted in secondary texts", "voltage drop", "V2"),
    _source("nec-ch9-t8", _NEC, "chapter 9 table 8", "V2"),
    _source("nec-210-19", _NEC, "210.19 and 215.2, informational", "V2"),
    _source("nec-210-20", _NEC, "210.20(A)", "V2"),
    _source("nec-240-4", _NEC, "240.4(D)", "V2"),
    _source("nec-240-6", _NEC, "240.6(A)", "V2"),
    _source("nec-310-15", _NEC, "310.15", "V2"),
    _source("nec-551", _NEC, "article 551", "V2"),
    _source("nfpa1901-ch13", _NFPA1901, "chapter 13", "V2"),
    _source("kkk-1822e", "KKK-A-1822E, ambulances", "3.7.6", "V", "1 Jun 2002"),
    _source("49cfr571-3", "49 CFR 571.3, definitions", "GVWR, GAWR", "V"),
    _source("49cfr571-110", "49 CFR 571.110 and 72 FR 68442", "added weight", "V"),
    _source("49cfr567-4", "49 CFR 567.4", "(g)(3)", "V"),
    _source("navedtra-14233", "NAVEDTRA 14233", "p. 4-26, centre of balance", "V"),
    _source("13ccr-1249", "13 CCR 1249(c), California", "lamp voltage", "V"),
)

SOURCE_BY_ID = {source.id: source for source in SOURCES}


def cite(source_id: str) -> str:
    """How a page prints a source: title, clause and, unless verified, its status."""
    source = SOURCE_BY_ID[source_id]
    text = ", ".join(part for part in (source.title, source.clause) if part)
    return text if source.status in ("", "V", "C", "CP") else f"{text} [{source.status}]"
