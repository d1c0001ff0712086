"""The rule sets a job may name. To add one: a data module beside this file, a line here, a test
that names the source of each of its limits (tests/jobs/electrical/rule_sets/).
"""

from jobs.electrical.rule_sets.cfr33_183 import CFR33_183
from jobs.electrical.rule_sets.common_practice import COMMON_PRACTICE
from jobs.electrical.rule_sets.fire_ems import FIRE_EMS
from jobs.electrical.rule_sets.shape import RuleSet

RULE_SETS: dict[str, RuleSet] = {
    rule_set.key: rule_set for rule_set in (COMMON_PRACTICE, FIRE_EMS, CFR33_183)
}


def rule_set_name(key: str) -> str:
    """What people call it; a key that is no longer known speaks for itself."""
    found = RULE_SETS.get(key)
    return found.name if found else key
