"""The glyph of a status differs from state to state, whatever page asks."""

from django.template import engines

from jobs.templatetags.marks import GLYPHS, status_mark


def test_every_state_has_a_drawing_of_its_own_that_screen_readers_skip():
    drawn = {state: status_mark(state) for state in (*GLYPHS, "open")}
    assert len(set(drawn.values())) == len(GLYPHS) + 1
    assert all('aria-hidden="true"' in svg for svg in drawn.values())


def test_a_status_shows_its_glyph_before_its_word_and_escapes_the_word():
    page = engines["django"].from_string('{% include "_status.html" with word=word state="pass" %}')
    text = page.render({"word": "<b>"})
    assert "status-pass" in text
    assert text.index("<svg") < text.index("&lt;b&gt;")
