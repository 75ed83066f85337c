"""Sentences that the program once kept in files and now words in another way, so that old verdicts still read.

They are found by the English text, which version 0.1.0 kept. New rows go to the end: a row's number is its id.
"""

from synth.base.words import Template

OLD = tuple(
    Template(f"old.{number}", text)
    for number, text in enumerate(
        (
            "By how much was right; the phrase was another. Put up a finger for every phrase that begins.",
            "Count the bars, a number on every one; these phrases turn after {n}.",
            "Each bar came about {ms} ms earlier than it should. Listen to the drums while you tap.",
            "Each bar came about {ms} ms later than it should. Listen to the drums while you tap.",
            "It was this one: {answer}. All the others were {n} bars long.",
            "It was {feel}: {why}. The hats go on as before, so they do not tell.",
            "On average you were {off}.",
            "Right: {answer}. All the others were {n} bars long.",
            "That is half of it. A bar is four beats, and each bar gets one number.",
            "That is one bar short. Say the number on the first beat of the bar, starting with 1.",
            "That is one phrase short: you missed a turn, or stopped counting at the first fill.",
            "That is the number of beats. Give every bar one number: 1 2 3 4, 2 2 3 4.",
            "That is twice as much. A bar is four beats, and each bar gets one number.",
            "That is {off} bars short. Count on your fingers, one phrase a finger.",
            "That is {off} bars too many. The intro ends where bass and chords come in.",
            "You came in {whole} {way}, and {ms} ms more.",
            "You came in {whole} {way}, then {ms} ms {rest}.",
            "You came in {whole} {way}.",
            "You had the one of every second bar. The one comes every four beats: tap each of them.",
            "You had the right phrase, and which way it differed. Count its bars, a number on every one.",
            "You pressed at the fill: it was in mid-phrase. A phrase turns only after all its {n} bars.",
            "You said {given}, which is double: the tempo was {tempo} BPM. Count the beat, not what lies between.",
            "You said {given}, which is half: the tempo was {tempo} BPM. Count every beat, not every second one.",
            "You tapped every beat. Count 1 2 3 4 and tap only when you say 1.",
            "You were {off}, again and again. Count the bars, then the turn cannot surprise you.",
            "You were {off}, again and again. Wait for the first beat after the last bar of the phrase.",
            "Your press fell between two beats, about {whole} {way}. Nod along first, and press with the nod.",
            "Your taps fell between the beats, all by the same amount. Wireless headphones can do that: measure the"
            " delay first.",
            "Your taps knew it, it was {feel}: {why}.",
            "Your taps were in time, but on changing beats. Count 1 2 3 4 aloud and let 1 fall on the deep drum.",
            "You went from {first} to {second}.",
            "The first {n} beats went by before you found it.",
            "You tapped every second beat.",
            "You tapped on {beats}.",
            "You lost the beat for the last {n}.",
            "You tapped every beat.",
            "You were on {beat}.",
        )
    )
)
