"""Titles of the drills: the window and the commands call a drill by the same words."""

import re

from exercises.drills import drills


def test_the_words_of_an_id_are_in_the_title_in_their_order():
    for one in drills().values():
        words = re.findall(r"[a-z]+", str(one.title()).lower())
        at = [words.index(word) for word in one.id.split("-")]
        assert at == sorted(at), one.id


def test_no_two_titles_are_alike():
    titles = [str(one.title()) for one in drills().values()]
    assert len(set(titles)) == len(titles)
