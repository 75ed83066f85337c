"""How long a drill may be left alone before it is due again.

What is to be remembered for a week is best repeated after 20 to 40 % of it, for a year after 5 to 10 %
(Cepeda et al. 2008, Psychological Science 19, 1095-1102, who studied the recall of facts; that skills of the ear
follow the same gaps is our assumption). A drill on its first rungs is to last a week: it is due 1.4 days after the
last practice and overdue after 2.8. From ``WEEK_RUNGS`` on each rung doubles the time, up to a year, and its share
falls from 30 to 7.5 %, linear in the logarithms (our interpolation). A drill whose main path is done
(``Drill.main_rungs``) is to last a year.
"""

import math
from dataclasses import dataclass

WEEK_D, YEAR_D = 7.0, 365.0
WEEK_SHARE, YEAR_SHARE = 0.30, 0.075
# Due and overdue relative to the middle of the range: 20 to 40 %, 5 to 10 %.
EARLY, LATE = 2 / 3, 4 / 3
WEEK_RUNGS = 3
# A rung whose gap is that of a year.
MASTERED = 9


@dataclass(frozen=True, slots=True)
class Gap:
    """A drill is due after ``due_d`` days and overdue after ``late_d``."""

    due_d: float
    late_d: float

    @property
    def middle_d(self) -> float:
        """Target gap in days."""
        return (self.due_d + self.late_d) / 2


def gap(rung: int) -> Gap:
    """Gap of a drill whose level suits ``rung`` (from 1), see the module."""
    lasts_d = min(YEAR_D, WEEK_D * 2.0 ** max(0, rung - WEEK_RUNGS))
    slope = math.log(YEAR_SHARE / WEEK_SHARE) / math.log(YEAR_D / WEEK_D)
    middle_d = lasts_d * WEEK_SHARE * (lasts_d / WEEK_D) ** slope
    return Gap(EARLY * middle_d, LATE * middle_d)
