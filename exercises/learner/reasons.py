"""Why something is in the plan, as an enum and in words."""

from __future__ import annotations

from enum import StrEnum

from synth.base.words import Template

WARM_UP = Template("plan.warm_up", "To warm up: something that goes well by now gets ear and hand going.")

FIRST = Template("plan.first", "To begin with: listen and count along, nothing is marked.")

LESSON_TITLE = Template("lesson.title", "First words")

LESSON = Template("plan.lesson", "Beat, bar, the one and the phrase: hear them and tap along. Nothing is marked.")

DUE = Template("plan.due", "Last practised {n} days ago: a good time to come back to it.")

DUE_YESTERDAY = Template("plan.due_yesterday", "Last practised yesterday: a good time to come back to it.")

OVERDUE = Template("plan.overdue", "Last practised {n} days ago, and it fades by now: a few trials bring it back.")

WEAK = Template("plan.weak", "Of what you practise this stands lowest at present: practise it more.")

NEXT = Template("plan.next", "Next on the ladder: {asks}")

SPARE = Template("plan.spare", "There is time left, and this is what comes back next.")

ALWAYS = Template("plan.always", "In every plan, as you chose.")

BEGIN = Template("plan.begin", "Your answers say to begin here: {asks}")

RESTS = Template("plan.rests", "{drill} rests for some days: it will come back by itself.")

RESTS_FOR = Template(
    "plan.rests_for", "{drill} rests for some days. Go back to {back} meanwhile: it makes the way easier."
)


class Reason(StrEnum):
    """Why something is in the plan."""

    WARM_UP = "warm-up"
    DUE = "due"
    WEAK = "weak"
    NEXT = "next"
    SPARE = "spare"
    ALWAYS = "always"
